"""Absence formulas against simulated houses, within Monte Carlo error (4.5 standard errors)."""

from __future__ import annotations

import numpy as np
import pytest

from wainscot.all_clear.absence import (
    ceiling,
    chance_absent,
    course,
    detection,
    found_in_sample,
    sensitivity,
    together,
)

HOUSES = 200_000
ERRORS = 4.5


def _near(found: float, share: float, count: int) -> bool:
    return abs(found - share) <= ERRORS * (share * (1.0 - share) / count) ** 0.5


@pytest.mark.parametrize(("nightly", "nights", "survivors"), [(0.2, 7, 1), (0.1, 4, 3)])
def test_sensitivity_is_the_share_of_houses_with_a_catch(
    nightly: float, nights: int, survivors: int
) -> None:
    rng = np.random.default_rng(1)
    # The night on which each survivor would be caught.
    first = rng.geometric(nightly, (HOUSES, survivors)).min(axis=1)
    assert _near(sensitivity(nightly, nights, survivors), float((first <= nights).mean()), HOUSES)


def test_several_traps_together_with_distance() -> None:
    rng = np.random.default_rng(2)
    chances = [detection(0.3, away, 3.9) for away in (0.0, 2.0, 5.0)]
    caught = (rng.random((HOUSES, 3)) < chances).any(axis=1)
    assert _near(together(chances), float(caught.mean()), HOUSES)


def test_the_chance_of_absence_is_the_share_of_free_among_the_quiet() -> None:
    rng = np.random.default_rng(3)
    free = rng.random(HOUSES) < 0.7
    quiet = free | (rng.random(HOUSES) >= 0.8)
    assert _near(chance_absent(0.7, 0.8), float(free[quiet].mean()), int(quiet.sum()))


def test_returns_between_nights_and_the_ceiling_they_set() -> None:
    rng = np.random.default_rng(4)
    before, nightly, back, nights = 0.5, 0.5, 0.1, 16
    there = rng.random(HOUSES) >= before
    for night in range(nights):
        there |= rng.random(len(there)) < back
        # Houses with a catch leave; the others go on.
        there = there[~(there & (rng.random(len(there)) < nightly))]
        found = course(before, [nightly] * (night + 1), back)[-1]
        assert _near(found, float(1.0 - there.mean()), len(there))
    # By then the course has come to its ceiling.
    assert _near(ceiling(back, nightly), float(1.0 - there.mean()), len(there))


def test_a_sample_finds_a_rare_thing_as_often_as_told() -> None:
    rng = np.random.default_rng(5)
    found = rng.binomial(40, 0.05 * 0.9, HOUSES) > 0
    assert _near(found_in_sample(40, 0.05, 0.9), float(found.mean()), HOUSES)

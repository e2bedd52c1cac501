"""The rate of the job's own catches against the removal estimator, where every round is alike."""

from __future__ import annotations

from math import exp

import pytest

from wainscot.all_clear.rate import AT_TRAP, Round, per_night, rate_of
from wainscot.all_clear.removal import moran

# Catches of Carle & Strub 1978 ex. 1, the FSA documentation and Schnute 1983, as tests/published.
CATCHES = [[38, 26, 12], [77, 50, 37], [45, 11, 18, 8]]


@pytest.mark.parametrize("catches", CATCHES)
def test_with_the_same_effort_it_is_the_likeliest_catchability(catches: list[int]) -> None:
    found = per_night([Round(one, 10.0) for one in catches])
    assert found is not None
    low, best, high = found
    assert 1 - exp(-10 * best) == pytest.approx(moran(catches).caught, abs=1e-5)
    assert low < best < high


def test_few_or_flat_catches_leave_the_stated_range() -> None:
    for catches in ([2, 1, 0], [5, 5, 5], [4, 6, 9]):
        found = rate_of([Round(one, 10.0) for one in catches], 0.7)
        assert not found.own
        assert found.low == AT_TRAP[0].value
    assert rate_of([Round(one, 10.0) for one in (10, 6, 3, 1)], 0.7).own

"""Depletion against a direct search of the likelihood over number and catchability."""

from __future__ import annotations

from collections.abc import Sequence
from math import comb, lgamma

import numpy as np
import pytest

from wainscot.all_clear.rate import Round, per_night
from wainscot.all_clear.removal import carle_strub, moran, zippin


def _chance_of(catches: Sequence[int], number: int, p: float) -> float:
    """Of these catches, where so many were there and each is caught by the chance p in a pass."""
    left, out = number, 1.0
    for one in catches:
        out *= comb(left, one) * p**one * (1 - p) ** (left - one)
        left -= one
    return out


@pytest.mark.parametrize("seed", range(30))
def test_the_likeliest_number_is_that_of_a_direct_search(seed: int) -> None:
    rng = np.random.default_rng(seed)
    left, catches = int(rng.integers(25, 60)), []
    p = float(rng.uniform(0.35, 0.7))
    for _ in range(int(rng.integers(3, 5))):
        one = int(rng.binomial(left, p))
        catches.append(one)
        left -= one
    if catches[0] <= catches[-1]:
        pytest.fail("the seed gives no decline: choose another range")
    total = sum(catches)
    grid = np.linspace(0.02, 0.98, 193)
    best = max(
        range(total, total + 150), key=lambda n: max(_chance_of(catches, n, float(p)) for p in grid)
    )
    found = moran(catches)
    assert abs(found.number - best) <= 1.0
    assert found.interval[0] <= found.number <= found.interval[1]
    assert abs(zippin(catches).number - best) <= 2.0


@pytest.mark.parametrize("catches", [(38, 26, 12), (77, 50, 37), (10, 6, 3, 1), (4, 2, 1)])
def test_the_weighted_number_is_that_of_an_average_over_catchability(
    catches: tuple[int, ...],
) -> None:
    # Carle & Strub 1978: a flat prior of the catchability, integrated here by the midpoint rule.
    grid = (np.arange(4000) + 0.5) / 4000

    def average(number: int) -> float:
        left, out = number, np.ones(len(grid))
        for one in catches:
            out = out * comb(left, one) * grid**one * (1 - grid) ** (left - one)
            left -= one
        return float(out.mean())

    total = sum(catches)
    # The least number from which one more is less likely.
    best = next(n for n in range(total, 5 * total) if average(n + 1) < average(n))
    assert carle_strub(catches).number == best


def test_the_rate_at_unequal_effort_is_that_of_a_direct_search() -> None:
    # Catches by a Poisson of trap nights: 1 - exp(-q nights), searched over number and rate.
    rounds = [Round(9, 10.0), Round(7, 14.0), Round(3, 9.0), Round(2, 16.0)]
    total = sum(one.catches for one in rounds)
    rates = np.linspace(0.002, 0.2, 1981)

    def likely(number: float) -> tuple[float, float]:
        left, out = number, np.zeros(len(rates))
        for one in rounds:
            p = 1.0 - np.exp(-rates * one.nights)
            out += lgamma(left + 1) - lgamma(left - one.catches + 1) + one.catches * np.log(p)
            out -= rates * one.nights * (left - one.catches)
            left -= one.catches
        return float(out.max()), float(rates[out.argmax()])

    _, rate = max(likely(total + n / 50) for n in range(1000))
    found = per_night(rounds)
    assert found is not None
    # The steps of both searches.
    assert found[1] == pytest.approx(rate, abs=2e-4)


def test_ten_times_the_catch_at_the_same_rate_has_errors_that_follow_the_square_root() -> None:
    # Both errors of Seber 2002, equation 7.23, at one p: root of N, and one over it.
    few, many = carle_strub((3, 1, 0)), carle_strub((30, 10, 0))
    assert few.caught == pytest.approx(many.caught)
    assert few.caught_error == pytest.approx(many.caught_error * 10**0.5)
    assert few.error == pytest.approx(many.error / 10**0.5)
    # All in the first pass: the form gives no error, which is told as none.
    assert carle_strub((2, 0)).caught_error == 0.0

"""Formulas of absence at their bounds and on numbers small enough for a pencil."""

from __future__ import annotations

from collections.abc import Callable
from math import log

import pytest

from wainscot.all_clear.absence import (
    MOST_NIGHTS,
    after_return,
    best_stop,
    ceiling,
    chance_absent,
    course,
    detection,
    falling_sighting_chance,
    found_in_sample,
    nights_for_sensitivity,
    nights_needed,
    sample_size,
    sensitivity,
    sighting_chance,
    sighting_odds,
    together,
)
from wainscot.all_clear.growth import doubling, rate_of_increase, time_to_grow

CHANCES: list[tuple[str, Callable[[float], float]]] = [
    ("a chance to catch", lambda p: detection(p, 1.0, 1.0)),
    ("a chance to catch", lambda p: together([0.5, p])),
    ("a chance to catch", lambda p: sensitivity(p, 2)),
    ("a chance of absence", lambda p: chance_absent(p, 0.5)),
    ("a sensitivity", lambda p: chance_absent(0.5, p)),
    ("a chance of absence", lambda p: after_return(p, 0.5)),
    ("a chance", lambda p: after_return(0.5, p)),
    ("a chance", lambda p: ceiling(p, 0.5)),
    ("a sensitivity", lambda p: ceiling(0.5, p)),
    ("a share", lambda p: found_in_sample(3, p, 0.5)),
    ("a chance", lambda p: found_in_sample(3, 0.5, p)),
]


@pytest.mark.parametrize(("what", "formula"), CHANCES)
def test_a_chance_lies_between_none_and_one(what: str, formula: Callable[[float], float]) -> None:
    assert all(0.0 <= formula(sound) <= 1.0 for sound in (0.0, 1.0))
    for wrong in (-0.01, 1.01):
        with pytest.raises(ValueError, match=f"^{what} lies between 0 and 1, not {wrong}$"):
            formula(wrong)


def test_the_fall_off_needs_a_length() -> None:
    assert detection(0.5, 0.0, 0.5) == 0.5
    # At the scale itself the root of 1 / e is left.
    assert detection(0.5, 2.0, 2.0) == pytest.approx(0.5 * 0.60653066)
    for none in (0.0, -1.0):
        with pytest.raises(ValueError, match="the fall-off needs a length"):
            detection(0.5, 1.0, none)


def test_several_traps_and_none() -> None:
    assert together([]) == 0.0
    assert together([0.5, 0.2, 0.25]) == pytest.approx(1 - 0.5 * 0.8 * 0.75)
    assert together([0.3, 1.0]) == 1.0
    assert sensitivity(0.5, 0) == 0.0
    assert sensitivity(0.5, 2) == 0.75
    assert sensitivity(0.5, 1.5, 2) == 0.875


def test_a_search_that_would_have_found_them_leaves_what_was_there_before() -> None:
    assert chance_absent(0.5, 0.0) == 0.5
    assert chance_absent(0.5, 1.0) == 1.0
    assert chance_absent(0.2, 0.5) == pytest.approx(0.2 / 0.6)
    # They were there for certain and were not found by a sure search: told as none.
    assert chance_absent(0.0, 1.0) == 0.0


@pytest.mark.parametrize(("before", "again"), [(0.9, 0.3), (0.2, 0.2)])
def test_after_a_catch_it_starts_from_the_lowest_of_three(before: float, again: float) -> None:
    found = course(before, [0.5, 0.5, 0.5, 0.5], 0.0, (0, 2))
    quiet = again / (1.0 - 0.5 * (1.0 - again))
    assert found == pytest.approx([0.0, quiet, 0.0, quiet])


def test_a_second_catch_starts_from_what_it_was_if_that_was_lower() -> None:
    # By hand: half of them come back before each night, so 0.3 becomes 0.15 and stays below 0.3.
    found = course(0.8, [0.0, 0.0, 0.0], 0.5, (0, 1))
    assert found == pytest.approx([0.0, 0.0, 0.15 * 0.5])
    # Without a catch: 0.4, then 0.2 of what may be there; nothing is found by a trap that is none.
    assert course(0.8, [0.0, 0.0], 0.5) == pytest.approx([0.4, 0.2])
    assert course(0.8, []) == []


def test_the_ceiling_is_none_where_they_come_back_as_fast_as_they_are_found() -> None:
    assert ceiling(0.2, 0.2) == 0.0
    assert ceiling(0.3, 0.2) == 0.0
    assert ceiling(0.0, 0.2) == 1.0
    assert ceiling(0.0, 0.0) == 0.0
    assert ceiling(0.1, 0.2) == pytest.approx(0.5 / 0.9)
    assert ceiling(0.1, 1.0) == 1.0


@pytest.mark.parametrize("wanted", [0.0, 1.0, -0.5, 1.5])
def test_no_number_of_nights_makes_it_certain(wanted: float) -> None:
    with pytest.raises(ValueError, match="no number of nights makes it certain"):
        nights_needed(0.5, 0.2, wanted)


def test_nights_needed_at_its_bounds() -> None:
    assert nights_needed(0.5, 0.0, 0.5) == 0
    assert nights_needed(0.6, 0.2, 0.5) == 0
    assert nights_needed(0.0, 0.2, 0.5) is None
    assert nights_needed(0.5, 0.0, 0.6) is None
    # One night: 0.5 / (1 - 0.2 x 0.5) = 0.5556.
    assert nights_needed(0.5, 0.2, 0.5555) == 1
    assert nights_needed(0.5, 0.2, 0.5557) == 2
    assert nights_needed(0.5, 1.0, 0.99) == 1
    # The ceiling itself is never reached: here 0.5 / 0.9.
    assert nights_needed(0.1, 0.2, 0.5 / 0.9, 0.1) is None
    assert nights_needed(0.1, 0.2, 0.5, 0.1) == course(0.1, [0.2] * 50, 0.1).index(
        next(one for one in course(0.1, [0.2] * 50, 0.1) if one >= 0.5)) + 1  # fmt: skip


def test_nights_are_counted_up_to_ten_years() -> None:
    # From even odds 99 to 1 need 1 / 99 of being missed: n nights of 1 - 99^(-1/n).
    assert MOST_NIGHTS == 3650
    for nights, told in ((3649.5, 3650), (3650.5, None)):
        assert nights_needed(0.5, 1 - 99 ** (-1 / nights), 0.99) == told


def test_nights_that_catch_a_single_one() -> None:
    assert nights_for_sensitivity(0.95, 0.95) == 1
    assert nights_for_sensitivity(0.5, 0.75) == 2
    assert nights_for_sensitivity(0.5, 0.76) == 3
    for nightly, wanted in ((0.0, 0.5), (1.0, 0.5), (0.5, 0.0), (0.5, 1.0)):
        with pytest.raises(ValueError, match="both chances lie between 0 and 1"):
            nights_for_sensitivity(nightly, wanted)


def test_stopping_by_cost_at_its_bounds() -> None:
    # A night costs 1, a callback 8, half are missed: 2^-n 8 ln 2 = 1 at n = 3 + ln(ln 2) / ln 2.
    assert best_stop(1.0, 8.0, 0.5) == pytest.approx(3 + log(log(2)) / log(2))
    # A night that costs more than it saves is not spent.
    assert best_stop(8.0, 1.0, 0.5) == 0.0
    for kept in (0.0, 1.0):
        with pytest.raises(ValueError, match="the chance lies between 0 and 1"):
            best_stop(1.0, 8.0, kept)
    for night, wrong in ((0.0, 8.0), (1.0, 0.0)):
        with pytest.raises(ValueError, match="both costs are above zero"):
            best_stop(night, wrong, 0.5)


def test_samples_by_hand() -> None:
    assert found_in_sample(0, 0.5, 0.5) == 0.0
    assert found_in_sample(2, 0.5, 0.5) == pytest.approx(1 - 0.75**2)
    # Of ten with two that have it, five looks of 1 - (1 - 0.75)^(1/2) = 0.5 each.
    assert sample_size(10, 0.2, 1.0, 0.75) == pytest.approx(5.0)
    assert sample_size(10, 0.2, 0.5, 0.75) == pytest.approx(10.0)


def test_records_of_catches_by_hand() -> None:
    assert sighting_chance(1, 2, 3) == 0.125
    assert sighting_odds(1, 3, 2) == pytest.approx(1 / 2)
    assert sighting_odds(1, 3, 3) == pytest.approx(2 / 8)
    with pytest.raises(ValueError, match="two sightings at least"):
        sighting_odds(1, 3, 1)


def test_a_falling_record_is_a_stick_broken_at_random() -> None:
    # Two parts: the greater is at most x of the whole with 2 x - 1.
    assert falling_sighting_chance([1, 3], 4) == pytest.approx(0.5)
    assert falling_sighting_chance([1, 3], 3.5) == pytest.approx(0.5 / 0.75)
    assert falling_sighting_chance([1, 3], 8) == pytest.approx(0.5)
    # Three parts: 1 - 3 (1 - x)^2 + 3 (1 - 2 x)^2 below a half: 0.04 at 0.4, and 0.25 at 0.5.
    assert falling_sighting_chance([2, 4, 4], 5) == pytest.approx(0.04 / 0.25)
    assert falling_sighting_chance([0, 1], 1) == 1.0
    for few in ([5.0], [0.0, 0.0], []):
        with pytest.raises(ValueError, match="two sightings at least, not all at the start"):
            falling_sighting_chance(few, 9.0)


def test_growth_by_hand() -> None:
    # One litter within the year: 4 / 2 e^(-100 r) = 1; the next comes after its end.
    assert rate_of_increase(1.0, 4.0, 100.0) == pytest.approx(log(2) / 100)
    # Three, at 65, 165 and 265 days, the fourth on the last day of the year.
    rate = rate_of_increase(3.65, 4.0, 65.0)
    assert sum(2 * 2.718281828459045 ** (-rate * age) for age in (65, 165, 265, 365)) == (
        pytest.approx(1.0))  # fmt: skip
    # Whoever first has young after the year has none in it.
    assert rate_of_increase(1.0, 4.0, 365.5) == pytest.approx(0.0, abs=1e-12)
    assert doubling(0.1) == pytest.approx(6.931472)
    assert time_to_grow(2, 16, log(2)) == pytest.approx(3.0)

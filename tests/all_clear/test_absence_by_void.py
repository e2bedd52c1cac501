"""Chance of absence by void and night: against simulation, closed forms and plain laws."""

from __future__ import annotations

from itertools import pairwise

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wainscot.all_clear.absence import ceiling, chance_absent, course, nights_needed, sensitivity
from wainscot.all_clear.outcome import (
    RETURN_SHUT,
    Case,
    cheapest_stop,
    course_by_void,
    further_nights,
    judge,
)

CHANCES = st.floats(0.01, 0.9)


@given(CHANCES, CHANCES, st.integers(1, 40))
def test_one_void_without_return_is_the_published_formula(
    before: float, nightly: float, nights: int
) -> None:
    # Martin et al. 2007, as the package epiR documents it.
    whole = course_by_void(before, np.ones(1), np.full((nights, 1), nightly), 0.0)
    assert whole[-1] == pytest.approx(chance_absent(before, sensitivity(nightly, nights)))
    assert course(before, [nightly] * nights)[-1] == pytest.approx(float(whole[-1]))


@given(CHANCES, st.lists(CHANCES, min_size=2, max_size=30))
def test_without_return_more_empty_nights_never_lower_it(
    before: float, nights: list[float]
) -> None:
    found = course(before, nights)
    assert all(b >= a - 1e-12 for a, b in zip([before, *found], found, strict=False))


@settings(deadline=None)
@given(st.floats(0.2, 0.9), st.floats(0.001, 0.1))
def test_with_return_it_goes_to_its_closed_form(nightly: float, back: float) -> None:
    # 1 - Pi / SSe before the next return, over 1 - Pi (epiR).
    fixed = ceiling(back, nightly)
    assert course(0.01, [nightly] * 200, back)[-1] == pytest.approx(fixed, abs=1e-6)
    assert course(0.999, [nightly] * 200, back)[-1] == pytest.approx(fixed, abs=1e-6)
    assert nights_needed(0.01, nightly, min(fixed + 1e-6, 0.9999999), back) is None or fixed > 0.999


@given(CHANCES, st.lists(CHANCES, min_size=3, max_size=12), st.data())
def test_a_catch_tonight_never_raises_tonights_chance(
    before: float, nights: list[float], data: st.DataObject
) -> None:
    night = data.draw(st.integers(0, len(nights) - 1))
    without, with_catch = course(before, nights), course(before, nights, caught=(night,))
    assert with_catch[night] <= without[night]
    assert with_catch[-1] <= without[-1] + 1e-12


def test_against_simulated_houses_with_homes_and_returns() -> None:
    rng = np.random.default_rng(3)
    where, back, before, nights = np.array([0.5, 0.3, 0.2]), 0.02, 0.6, 12
    nightly = np.tile([0.30, 0.10, 0.0], (nights, 1))
    houses = 400_000
    home = np.where(rng.random(houses) < before, -1, rng.choice(3, houses, p=where))
    kept = np.ones(houses, dtype=bool)
    for night in range(nights):
        comes = (home < 0) & (rng.random(houses) < back)
        home = np.where(comes, rng.choice(3, houses, p=where), home)
        chance = np.where(home >= 0, nightly[night][np.maximum(home, 0)], 0.0)
        kept &= ~(rng.random(houses) < chance)
    share = float((home[kept] < 0).mean())
    error = (share * (1 - share) / kept.sum()) ** 0.5
    found = float(course_by_void(before, where, nightly, back)[-1])
    assert abs(found - share) < 4.5 * error


def _case(**changed: object) -> Case:
    plain = Case(0.5, np.array([0.6, 0.4]), np.full((120, 2), 0.2), 0, 0, None, True, False)
    return msgspec.structs.replace(plain, **changed)


def test_it_is_over_only_where_all_of_it_holds() -> None:
    assert judge(_case()).outcome == "over"
    assert judge(_case(shared=True)).outcome == "quiet and monitored"
    assert judge(_case(sealed=False)).outcome == "not yet known"
    assert judge(_case(nights_since_catch=2.0)).outcome == "not over"
    assert judge(_case(nightly=np.full((3, 2), 0.2))).outcome == "not yet known"


def test_it_is_never_over_where_no_trap_covers_a_void() -> None:
    nightly = np.tile([0.9, 0.0], (400, 1))
    found = judge(_case(nightly=nightly))
    assert found.outcome == "not yet known"
    assert found.uncovered == pytest.approx(0.4)
    # Half of the doubt that was in the uncovered void stays: 0.5 / (0.5 + 0.5 * 0.4).
    assert found.chance < 0.5 / (0.5 + 0.5 * 0.4) + 1e-9
    told = (
        "in {} of every 100 places where an animal would live, "
        "the traps so far would sooner have missed it than caught it"
    )
    assert told.format(40) in found.limits
    # What is next to nothing is not told as nothing, and what is not all not as all.
    little = judge(_case(where=np.array([0.998, 0.002]), nightly=nightly))
    assert told.format("<1") in little.limits
    much = judge(_case(where=np.array([0.002, 0.998]), nightly=nightly))
    assert told.format(">99") in much.limits
    assert judge(_case(nightly=np.zeros((0, 2)))).outcome == "not yet known"


def test_an_open_way_caps_it_and_is_named() -> None:
    found = judge(_case(open_ways=1, nightly=np.full((1000, 2), 0.2)))
    assert found.chance == pytest.approx(found.ceiling, abs=1e-3)
    assert found.chance < judge(_case(not_ours=1, nightly=np.full((1000, 2), 0.2))).chance
    assert found.outcome != "over"
    assert any(one.startswith("1 known way in stays open:") for one in found.limits)
    two = judge(_case(open_ways=2, not_ours=1)).limits
    assert two[0].startswith("2 known ways in stay open:")
    assert two[1].startswith("1 way belongs to a neighbour")


def test_further_nights_are_counted_from_today() -> None:
    case = _case(nightly=np.full((5, 2), 0.2), absent_before=0.5)
    more = further_nights(case, 0.95)
    assert more is not None
    # At the low end a trap catches at half of the middle: 0.1 a night.
    total = nights_needed(0.5, 0.1, 0.95, 0.0003)
    assert total is not None
    assert more == total - 5
    assert further_nights(_case(nightly=np.full((200, 2), 0.2)), 0.95) == 0


@pytest.mark.parametrize("callback", [1.0, 40.0, 4000.0])
def test_stopping_by_cost_is_the_cheapest_of_all_days(callback: float) -> None:
    # Every day is tried, with the chance of one survivor by the recursion for a single place; at
    # the low end a trap catches at half of the middle: 0.1 a night.
    cost = [
        0.25 * n + callback * (1.0 - course(0.5, [0.1] * (5 + n), RETURN_SHUT.value)[-1])
        for n in range(200)
    ]
    found = cheapest_stop(_case(nightly=np.full((5, 2), 0.2)), 0.25, callback)
    assert found == min(range(200), key=lambda n: cost[n])


def test_a_dear_night_stops_now_a_dear_callback_later_and_no_night_never() -> None:
    case = _case(nightly=np.full((5, 2), 0.2))
    days = [cheapest_stop(case, 0.25, callback) for callback in (0.0, 40.0, 400.0, 4000.0)]
    assert days[0] == cheapest_stop(case, 1e6, 40.0) == 0
    assert None not in days
    assert all(later > sooner for sooner, later in pairwise(day for day in days if day is not None))
    assert cheapest_stop(_case(nightly=np.zeros((0, 2))), 0.25, 40.0) is None

"""What holds of every seal list and of every course of nights, whatever was drawn or caught.

The walks here are over lists and sets, with nothing of the step in them.
"""

from __future__ import annotations

import sys
from collections import deque
from functools import cache
from itertools import pairwise
from math import inf
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from houses import as_job
from small import graph as small_graph
from wainscot import voids
from wainscot.all_clear.absence import ceiling, course
from wainscot.all_clear.outcome import course_by_void
from wainscot.arrays import Bools
from wainscot.sealing import Remaining, Signed, Way, seal_list, ways_in
from wainscot.sealing.ways import BOTH
from wainscot.voids.graph import Graph

sys.path.insert(0, str(Path(__file__).parents[1] / "voids"))
from random_house import houses

SPECIES = ("house mouse", "norway rat")
VOIDS = 7
FEW = settings(max_examples=60, deadline=None)
A_HOUSE = settings(max_examples=6, deadline=None)
CHANCES = st.floats(0.01, 0.9)


@st.composite
def way(draw: st.DrawFn, number: int) -> Way:
    """Draw a way between two voids or from outside, some of them closed by nothing."""
    a = draw(st.integers(0, VOIDS))
    b = draw(st.integers(0, VOIDS).filter(lambda other: other != a))
    why_not = draw(st.sampled_from(["", "", "", "belongs to a neighbour"]))
    hours = inf if why_not else draw(st.integers(1, 40)) / 4
    grades = draw(st.sampled_from([BOTH, ("if they gnaw",)]))
    sort = "entry point" if VOIDS in (a, b) else "passage"
    return Way(f"w{number}", f"way {number}", sort, (a, b), "", grades, hours, why_not=why_not)


@st.composite
def some_ways(draw: st.DrawFn) -> list[Way]:
    """Draw the ways of a house of seven voids."""
    return [draw(way(n)) for n in range(draw(st.integers(1, 18)))]


lost = st.lists(st.booleans(), min_size=VOIDS, max_size=VOIDS).map(np.array)


@cache
def _house() -> Graph:
    return small_graph()


def _reached(ways: list[Way], start: set[int]) -> set[int]:
    seen, todo = set(start), deque(start)
    while todo:
        here = todo.popleft()
        for a, b in (end for one in ways for end in (one.ends, one.ends[::-1])):
            if a == here and b not in seen:
                seen.add(b)
                todo.append(b)
    return seen


def _left(ways: list[Way], grade: str, closed: set[str]) -> list[Way]:
    return [
        one for one in ways
        if grade in one.grades and one.key not in closed
        and not (one.sort == "edge to go along" and f"edge/{one.pool}" in closed)
    ]  # fmt: skip


def _entered(ways: list[Way], outside: int, given_up: Bools) -> set[tuple[str, str]]:
    """Words and reason of every way by which a protected void is first entered."""

    def free(node: int) -> bool:
        return node == outside or bool(given_up[node])

    start = _reached([one for one in ways if all(map(free, one.ends))], {outside})
    return {
        (one.words if one.sort != "edge to go along" else f"edge: {one.pool}", one.why_not)
        for one in ways
        for a, b in (one.ends, one.ends[::-1])
        if a in start and not free(b)
    }


def _told(remaining: tuple[Remaining, ...]) -> set[tuple[str, str]]:
    return {(one.words, one.why) for one in remaining}


@FEW
@given(some_ways(), lost, st.sampled_from(BOTH), st.sampled_from(SPECIES))
def test_what_is_said_to_stay_open_is_what_a_walk_enters(
    ways: list[Way], given_up: Bools, grade: str, species: str
) -> None:
    graph = msgspec.structs.replace(_house(), species=species)
    found = seal_list(graph, ways, grade, given_up)
    left = _left(ways, grade, {one.key for one in found.seals})
    assert _told(found.remaining) == _entered(left, VOIDS, given_up)
    # Only what nothing closes stays open.
    assert all(one.why == "belongs to a neighbour" for one in found.remaining)


@FEW
@given(some_ways(), lost, st.sampled_from(BOTH), st.data())
def test_a_seal_never_adds_a_path(
    ways: list[Way], given_up: Bools, grade: str, data: st.DataObject
) -> None:
    made = data.draw(st.sampled_from(ways))
    before = seal_list(_house(), ways, grade, given_up)
    rest = [one for one in ways if one.key != made.key]
    after = seal_list(_house(), rest, grade, given_up)
    if made.hours < inf:
        # A cut stays a cut without one of its edges.  Not so of a way that nothing closes: once a
        # neighbour shuts it, it is worth closing what no list could part from it before.
        assert after.hours <= before.hours
    assert _told(after.remaining) <= _told(before.remaining)
    # And with nothing of the list done yet.
    now, then = (_entered(_left(some, grade, set()), VOIDS, given_up) for some in (ways, rest))
    assert then <= now


@A_HOUSE
@given(houses(), st.sampled_from(BOTH), st.booleans())
def test_the_same_holds_of_drawn_houses_for_mouse_and_rat(
    document: dict[str, Any], grade: str, loft: bool
) -> None:
    plan = voids.framed(as_job(document)).plan
    for species in SPECIES:
        graph = voids.build(plan, species)
        given_up = np.array([loft and kind == "loft" for kind in graph.kinds])
        ways = list(ways_in(plan, graph, offered=()))
        found = seal_list(graph, ways, grade, given_up)
        left = _left(ways, grade, {one.key for one in found.seals})
        told = {(words, why or "left open") for words, why in
                _entered(left, len(graph.keys), given_up)}  # fmt: skip
        assert _told(found.remaining) == told
        made = next((one.key for one in ways if one.hours < inf), None)
        signed = Signed(frozenset({made} if made else ()))
        fewer = ways_in(plan, graph, offered=(), signed=signed)
        after = seal_list(graph, fewer, grade, given_up)
        assert _told(after.remaining) <= told


@given(CHANCES, st.lists(st.lists(CHANCES, min_size=3, max_size=3), min_size=1, max_size=20))
def test_without_return_an_empty_night_never_lowers_the_chance_that_they_are_gone(
    before: float, nights: list[list[float]]
) -> None:
    where = np.array([0.5, 0.3, 0.2])
    found = [before, *course_by_void(before, where, np.array(nights), 0.0)]
    assert all(later >= sooner - 1e-12 for sooner, later in pairwise(found))


@settings(deadline=None, max_examples=30)
@given(CHANCES, st.floats(0.2, 0.9), st.floats(0.001, 0.1))
def test_with_return_it_goes_to_its_closed_form_from_above_and_below(
    before: float, nightly: float, back: float
) -> None:
    # 1 - Pi / SSe before the next return, over 1 - Pi (epiR); voids that are covered alike.
    found = course_by_void(before, np.array([0.6, 0.4]), np.full((200, 2), nightly), back)
    assert abs(found[-1] - ceiling(back, nightly)) < 1e-6
    away = np.abs(found - ceiling(back, nightly))
    assert (np.diff(away) <= 1e-9).all()


@given(CHANCES, st.lists(CHANCES, min_size=1, max_size=12), st.floats(0.0, 0.05), st.data())
def test_a_catch_tonight_never_raises_the_chance_of_any_night_from_then_on(
    before: float, nights: list[float], back: float, data: st.DataObject
) -> None:
    night = data.draw(st.integers(0, len(nights) - 1))
    quiet, caught = course(before, nights, back), course(before, nights, back, caught=(night,))
    assert caught[night] == 0.0
    assert all(a <= b + 1e-12 for a, b in zip(caught, quiet, strict=True))

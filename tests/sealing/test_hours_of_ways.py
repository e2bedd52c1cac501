"""What closing each way takes, by hand: from outside, a drain, a neighbour's, an edge, a gap."""

from __future__ import annotations

from math import inf
from typing import Any

import msgspec
import numpy as np
import pytest

from houses import as_job, bungalow
from wainscot import voids
from wainscot.access import Access, Charge, Reach
from wainscot.plan.model import Plan
from wainscot.sealing import Way, ways_in
from wainscot.voids.graph import Graph


@pytest.fixture(scope="module")
def house() -> tuple[Plan, Graph]:
    plan = voids.framed(as_job(bungalow())).plan
    return plan, voids.build(plan, "norway rat")


def _only(graph: Graph, pool: str, sort: str = "entry point") -> Graph:
    """Return the house with one way in, into its first hidden void, and no passages."""
    void = int(np.flatnonzero(graph.hidden)[0])
    return msgspec.structs.replace(
        graph, source_keys=("it",), source_words=("a hole",), source_sort=(sort,),
        source_pool=(pool,), source_void=np.array([void], dtype=np.int32),
        source_prior=np.array([[0.5, 0.3, 0.2]]), source_at=np.array([[1.0, 2.0, 3.0]]),
    )  # fmt: skip


def _way(plan: Plan, graph: Graph, *offered: Access) -> Way:
    (found,) = [one for one in ways_in(plan, graph, offered=offered) if one.sort != "passage"]
    return found


def _offer(graph: Graph, **more: Any) -> Access:
    """Return an opening of 30 + 60 minutes and a charge of half an hour, into that void."""
    void = int(np.flatnonzero(graph.hidden)[0])
    given: dict[str, Any] = {
        "id": "cut", "act": "board off", "words": "Take the board off", "room": "kitchen",
        "reaches": (Reach(void, 0.9),), "minutes": 30.0, "repair": 60.0, "finish": "", "area": 0.0,
        "disturbance": "taken off", "method": "opened", "nights": 0, "at": (0.0, 0.0, 0.0),
        "charges": (Charge("k", "finish", "k", "k", 0.5),),
    }  # fmt: skip
    return Access(**(given | more))


def test_from_outside_a_hole_takes_an_hour_and_no_opening(house: tuple[Plan, Graph]) -> None:
    plan, graph = house
    one = _way(plan, _only(graph, "outside, north side"), _offer(graph))
    assert (one.hours, one.reach, one.why_not) == (1.0, "", "")
    assert (one.ends[0], one.at) == (len(graph.keys), (1.0, 2.0, 3.0))


def test_a_drain_takes_the_opening_and_six_hours_or_is_dug_up(house: tuple[Plan, Graph]) -> None:
    plan, graph = house
    drain = _only(graph, "drain")
    opened = _way(plan, drain, _offer(graph))
    assert (opened.hours, opened.reach) == (2.0 + 6.0, "Take the board off")
    assert (_way(plan, drain).hours, _way(plan, drain).reach) == (12.0, "")


def test_a_neighbour_s_way_is_closed_from_our_side_or_not_at_all(
    house: tuple[Plan, Graph],
) -> None:
    plan, graph = house
    shared = _only(graph, "neighbour")
    cheap = _offer(graph, minutes=0.0, charges=(), words="Look")
    assert _way(plan, shared, _offer(graph), cheap).hours == 1.0 + 8.0
    assert _way(plan, shared, cheap, _offer(graph)).reach == "Look"
    lost = _way(plan, shared)
    assert (lost.hours, lost.why_not) == (inf, "cannot be reached")


@pytest.mark.parametrize(
    ("pool", "hours", "why_not"),
    [
        ("outside, north side", 0.15, ""),
        ("neighbour, north side", inf, "belongs to a neighbour"),
        ("not drawn yet, north side", inf, "not drawn yet"),
    ],
)
def test_an_edge_is_gone_along_where_it_is_ours(
    house: tuple[Plan, Graph], pool: str, hours: float, why_not: str
) -> None:
    plan, graph = house
    one = _way(plan, _only(graph, pool, "unknown"))
    assert (one.sort, one.hours, one.why_not) == ("edge to go along", hours, why_not)


def test_a_passage_takes_half_an_hour_from_its_cheaper_side(house: tuple[Plan, Graph]) -> None:
    plan, graph = house
    inside = [one for one in ways_in(plan, graph, offered=()) if one.sort == "passage"]
    # A room is open already; without any opening a gap between hidden voids cannot be reached.
    for one in inside:
        a, b = one.ends
        if one.why_not != "must stay open":
            free = not (graph.hidden[a] and graph.hidden[b])
            assert one.hours == (0.5 if free else inf)
            assert one.why_not == ("" if free else "cannot be reached")
    assert {one.hours for one in inside} == {0.5, inf}

"""Ways in by hand: drains and whose they are, pipes, cuts of nothing, and words of an entry."""

from __future__ import annotations

from math import inf
from types import SimpleNamespace
from typing import Any, cast

import msgspec
import numpy as np
import pytest

from houses import as_job, bungalow
from small import graph as small_graph
from wainscot import voids
from wainscot.plan.model import ServiceRun
from wainscot.sealing import Remaining, Seal, Way, left_of, rows_of, seal_list, voids_named, ways_in
from wainscot.sealing.cut import cheapest_cut, reached
from wainscot.sealing.listing import CLOSED, no_void, seals_of
from wainscot.sealing.materials import DRAIN_IN_USE, amounts, for_way
from wainscot.sealing.model import SealList
from wainscot.sealing.ways import BOTH, _distance

CAPPED = "disused: capped at the last joint in use; a shared run needs consent"


@pytest.mark.parametrize(
    ("changed", "material", "note"),
    [
        ({}, "drain cap", CAPPED),
        ({"owner": "unknown"}, "drain cap", f"{CAPPED}; nobody knows whose it is: ask first"),
        ({"owner": "the water board"}, "drain cap",
         f"{CAPPED}; whose it is, as told: the water board"),
        ({"disused": False, "open_end": ""}, "drain repair", DRAIN_IN_USE),
    ],
)  # fmt: skip
def test_a_drain_s_end_is_capped_where_disused_and_repaired_where_not(
    changed: dict[str, Any], material: str, note: str
) -> None:
    document = bungalow()
    document["entities"]["old_drain"] |= changed
    plan = voids.framed(as_job(document)).plan
    plan = msgspec.structs.replace(plan, services=tuple(
        msgspec.structs.replace(one, owner=changed.get("owner", "")) if one.id == "old_drain"
        else one for one in plan.services))  # fmt: skip
    ways = ways_in(plan, voids.build(plan, "norway rat"), offered=())
    (drain,) = [one for one in ways if one.key == "broken_drain"]
    assert (drain.material, drain.note) == (material, note)
    assert (drain.size, drain.pool, drain.sort) == ((0.1, 0.1), "drain", "entry point")
    assert for_way(drain) == (material, note)


def test_what_is_known_of_an_entry_goes_along_and_a_flue_stays_open() -> None:
    # A flue is never closed: the sealing step's own table, by the combustion codes.
    document = bungalow()
    document["entities"]["stack"] = {
        "kind": "entry_point", "name": "boiler flue", "material": "soft mortar", "size": "60 mm",
        "place": {"of": "kitchen/n1", "along": "1 m"},
    }  # fmt: skip
    plan = voids.framed(as_job(document)).plan
    (flue,) = [one for one in ways_in(plan, voids.build(plan, "norway rat"), offered=())
               if one.key == "stack"]  # fmt: skip
    assert (flue.hours, flue.reach, flue.why_not) == (inf, "", "must stay open")
    assert (flue.edge_material, flue.size) == ("soft mortar", (0.06, 0.06))
    assert flue.note.startswith("a flue is never meshed or closed")


def test_a_collar_is_for_a_pipe_and_for_nothing_else() -> None:
    way = Way("e", "a hole", "entry point", (1, 0), "outside", BOTH, 1.0, size=(0.05, 0.05))
    piped = msgspec.structs.replace(way, pipe=0.04, bored=(0.05, 0.06))
    assert amounts(piped, "sheet metal") == amounts(way, "sheet metal")
    assert amounts(piped, "metal collar") != amounts(way, "metal collar")


def test_what_closes_a_way_follows_from_its_sort_width_and_edge() -> None:
    way = Way("e", "a hole", "entry point", (1, 0), "outside", BOTH, 1.0)
    replace = msgspec.structs.replace
    assert for_way(way) == ("sheet metal", "")
    assert for_way(replace(way, edge_material="masonry")) == ("mortar", "")
    assert for_way(replace(way, edge_material="soft mortar")) == ("mortar", "")
    assert for_way(replace(way, size=(0.0, 0.079))) == ("sheet metal", "")
    assert for_way(replace(way, size=(0.0, 0.08))) == ("sheet metal", "back it with mesh first")
    assert for_way(replace(way, sort="passage", note="keep")) == ("mesh 6 mm", "keep")
    drain = for_way(replace(way, pool="drain, north"))
    assert drain == ("drain repair", f"cap what is disused; {DRAIN_IN_USE}")


def test_a_point_s_distance_from_a_run_of_pipe() -> None:
    path = ((0.0, 0.0, 0.0), (4.0, 0.0, 0.0), (4.0, 0.0, 3.0))
    run = cast(ServiceRun, SimpleNamespace(path=path))
    for at, away in (((2.0, 1.5, 0.0), 1.5), ((-3.0, 4.0, 0.0), 5.0), ((4.0, 0.0, 5.0), 2.0),
                     ((5.0, 0.0, 1.0), 1.0), ((4.0, 0.0, 0.0), 0.0)):  # fmt: skip
        assert _distance(run, at) == pytest.approx(away)


# Cuts.


def _edges(*pairs: tuple[int, int]) -> Any:
    return np.array(pairs, dtype=np.int32).reshape(-1, 2)


def test_cuts_of_a_row_of_nodes() -> None:
    sinks = np.array([False, False, True])
    found = cheapest_cut(_edges((0, 1), (1, 2)), np.array([2.0, 1.0]), 0, sinks)
    assert found is not None
    assert (found.cut.tolist(), found.cost) == ([False, True], 1.0)
    # Of two that cost the same the one nearest to the source.
    alike = cheapest_cut(_edges((0, 1), (1, 2)), np.array([1.0, 1.0]), 0, sinks)
    assert alike is not None
    assert alike.cut.tolist() == [True, False]
    # What costs nothing is closed all the same, and parallel edges add up.
    free = cheapest_cut(_edges((1, 0), (2, 1), (1, 2)), np.array([0.9, 0.5, 0.5]), 0, sinks)
    assert free is not None
    assert (free.cut.tolist(), free.cost) == ([True, False, False], 0.9)
    nothing = cheapest_cut(_edges((0, 2)), np.array([0.0]), 0, sinks)
    assert nothing is not None
    assert (nothing.cut.tolist(), nothing.cost) == ([True], 0.0)
    assert cheapest_cut(_edges((0, 1), (1, 2)), np.array([inf, inf]), 0, sinks) is None
    one_way = cheapest_cut(_edges((0, 1), (1, 2)), np.array([inf, 3.0]), 0, sinks)
    assert one_way is not None
    assert one_way.cut.tolist() == [False, True]


def test_a_cut_of_no_sense_is_refused() -> None:
    sinks = np.array([False, True])
    for cost in (-0.1, float("nan")):
        with pytest.raises(ValueError, match="every cost is a number of zero or more"):
            cheapest_cut(_edges((0, 1)), np.array([cost]), 0, sinks)
    with pytest.raises(ValueError, match="the source lies among the sinks"):
        cheapest_cut(_edges((0, 1)), np.array([1.0]), 1, sinks)


def test_what_a_node_reaches() -> None:
    edges = _edges((1, 0), (1, 2), (3, 2))
    is_open = np.array([True, True, False])
    assert reached(edges, is_open, 0, 5).tolist() == [True, True, True, False, False]
    assert reached(edges, is_open, 3, 4).tolist() == [False, False, False, True]
    assert reached(edges, ~is_open, 2, 4).tolist() == [False, False, True, True]


# Words.


def test_voids_go_by_id_label_kind_and_words_in_any_case() -> None:
    graph = small_graph()
    known = {" F1 ": [2], "joist BAY": [2, 3], "w1": [4], "Under the bath B1": [6]}
    for name, found in known.items():
        assert np.flatnonzero(voids_named(graph, [name])).tolist() == found
    assert not voids_named(graph, []).any()
    assert voids_named(graph, ["w1", "w2"]).sum() == 2
    fault = no_void(graph, "a.b", "attic")
    assert fault is not None
    assert (fault.code, fault.path, fault.what) == (
        "unknown-void", "a.b", "no void is called 'attic'")  # fmt: skip
    assert fault.cure == (
        "name a void by its id or label, or one of these kinds: joist bay, stud bay, under bath, "
        "under cabinet"
    )
    assert no_void(graph, "a.b", "f1") is None


def test_a_list_says_how_many_ways_stay_open_and_why() -> None:
    graph = small_graph()
    lost = np.zeros(len(graph.keys), dtype=bool)
    outside = len(graph.keys)

    def way(key: str, void: int, why: str = "", **more: Any) -> Way:
        return Way(key, key, "entry point", (outside, void), "outside", BOTH,
                   inf if why else 1.0, why_not=why, **more)  # fmt: skip

    def told(*ways: Way) -> SealList:
        return seal_list(graph, ways, "as built", lost)

    assert told().statement == f"{CLOSED}; nothing has to be closed"
    shut = told(way("a", 1, at=(1.0, 2.0, 3.0)))
    assert (shut.statement, shut.hours) == (CLOSED, 1.0)
    assert [(one.void, one.at) for one in shut.seals[0].spots] == [("sink", (1.0, 2.0, 3.0))]
    one = told(way("a", 1, "declined"))
    assert one.statement == "1 way stays open after this list: declined"
    (left,) = one.remaining
    assert (left.words, left.why, left.voids, left.count) == (
        "a", "declined", ("sink units C1, kitchen",), 1)  # fmt: skip
    two = told(way("a", 1, "must stay open"), way("b", 2, "declined"), way("c", 3))
    assert two.statement == "2 ways stay open after this list: declined, must stay open"
    assert [seal.key for seal in two.seals] == ["c"]
    many = told(*(way("same", v, "declined") for v in (5, 1, 4, 2)))
    (left,) = many.remaining
    assert left.count == len(left.spots) == 4
    assert left.voids == tuple(graph.words[v] for v in (1, 2, 4))


def test_seals_stand_by_sort_and_an_edge_is_one_line() -> None:
    graph = small_graph()
    outside = len(graph.keys)
    ways = [
        Way("p", "gap", "passage", (1, 2), "", BOTH, 0.5, "cut"),
        Way("u2", "x", "edge to go along", (outside, 2), "outside, n", BOTH, 0.15),
        Way("u1", "x", "edge to go along", (outside, 1), "outside, n", BOTH, 0.15),
        Way("u3", "x", "edge to go along", (outside, 3), "outside, e", BOTH, 0.15),
        Way("e", "hole", "entry point", (outside, 0), "outside", BOTH, 1.0),
    ]
    found = seals_of(ways, graph)
    assert [(one.key, one.places, one.reach) for one in found] == [
        ("e", 1, ""), ("edge/outside, e", 1, ""), ("edge/outside, n", 2, ""), ("p", 1, "cut"),
    ]  # fmt: skip
    assert found[2].hours == pytest.approx(0.3)
    assert found[2].words == "go along the edge and close what is open: outside, n"
    assert [one.void for one in found[2].spots] == ["sink", "f1"]
    assert [one.void for one in found[3].spots] == ["f1"]


def test_rows_add_up_mortar_and_joints_and_keep_the_opening_of_the_first() -> None:
    def seal(key: str, **more: Any) -> Seal:
        return Seal(key, f"gap, between {key} and b", "passage", 1, 0.504, "cut", "mortar", **more)

    (row,) = rows_of([[seal("a", volume=(1.0, 2.0), joint=(0.1, 0.2)),
                       seal("b", volume=(3.0, 4.0), joint=(0.3, 0.4))]])  # fmt: skip
    assert (row.volume, row.joint, row.reach) == ((4.0, 6.0), pytest.approx((0.4, 0.6)), "cut")
    assert (row.number, row.hours, row.area) == (1, (1.0,), (0.0, 0.0))
    left = Remaining("edge: neighbour, west side", "neighbour", ("a", "b"), 2)
    (told,) = left_of([SealList("norway rat", "as built", (), 0.0, (left,), "")])
    assert (told.words, told.voids, told.count) == ("west side", ("a", "b"), 2)

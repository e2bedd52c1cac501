"""Headers, laps, air bricks, party walls, shared lofts, drains: each against a house by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from houses import as_job, bungalow, rectangle, semi
from wainscot import plan, voids
from wainscot.voids import Graph
from wainscot.voids.building import all_spaces

Document = dict[str, Any]


def build(document: Document, species: str = "norway rat") -> Graph:
    return voids.build(plan.read(as_job(document)), species)


def passage(graph: Graph, one: str, other: str) -> int | None:
    """Return the passage between two voids, or None."""
    ends = sorted((graph.keys.index(one), graph.keys.index(other)))
    return next((p for p, pair in enumerate(graph.edges.tolist()) if pair == ends), None)


def source(graph: Graph, key: str) -> int:
    return graph.source_keys.index(key)


@pytest.mark.parametrize("house", [bungalow, semi])
def test_every_shared_face_is_a_way_with_some_chance(house: Any) -> None:
    # Found again by plain comparison of boxes: any two that overlap by 50 mm both ways across a
    # solid of at most 130 mm, rooms against rooms left out.
    graph = build(house())
    spaces = all_spaces(plan.read(as_job(house())))
    pairs = {tuple(pair) for pair in graph.edges.tolist()}
    checked = 0
    for a, one in enumerate(spaces):
        for b in range(a + 1, len(spaces)):
            other = spaces[b]
            if not one.hidden and not other.hidden:
                continue
            for p in one.rectangles:
                for q in other.rectangles:
                    low = np.maximum([*p[:2], one.bottom], [*q[:2], other.bottom])
                    high = np.minimum([*p[2:], one.top], [*q[2:], other.top])
                    span = np.sort(high - low)
                    if -0.13 < span[0] <= 0.0 and span[1] > 0.0501:
                        checked += 1
                        assert (a, b) in pairs, (one.key, other.key)
    assert checked > 100
    assert graph.prior_open.min() >= 0.0019


def test_a_face_that_can_be_gnawed_is_likelier_open_than_masonry() -> None:
    graph = build(bungalow())
    floor = [p for p, rule in enumerate(graph.passage_rule) if rule == "shared face"]
    wood = [graph.prior_open[p] for p in floor if graph.gnawable[p]]
    stone = [graph.prior_open[p] for p in floor if not graph.gnawable[p]]
    assert min(wood) > max(stone) > 0


def test_a_solid_wall_between_rooms_has_the_chance_of_masonry() -> None:
    document = bungalow()
    document["entities"]["partition"]["build"] = "solid"
    document["entities"].pop("door")
    document["entities"].pop("look_partition")
    graph = build(document)
    p = passage(graph, "kitchen", "bathroom")
    assert p is not None
    assert graph.prior_open[p] == pytest.approx(0.002)


def test_a_deep_header_closes_the_bays_above_an_opening() -> None:
    # Headers are solid over openings; cripples continue above and below: common practice.
    def above(header: str | None, bearing: str = "unknown") -> list[float]:
        document = bungalow()
        document["entities"]["partition"]["bearing"] = bearing
        if header:
            document["entities"]["door"]["header"] = header
        graph = build(document)
        return [
            float(graph.top[v] - graph.bottom[v])
            for v, key in enumerate(graph.keys)
            if key.startswith("bathroom/w1") and key.endswith("above-head")
        ]

    # Head 2.0 m, plate 38 mm, ceiling 2.4 m.
    assert above("300 mm") == []
    assert above("200 mm") == pytest.approx([2.4 - 0.038 - 2.2] * 3)
    # A wall that bears nothing has one stud laid flat.
    assert above(None, "no") == pytest.approx([2.4 - 0.038 - 2.038] * 3)


def two_spans(**floor: Any) -> Document:
    """Return one room of 6 x 3 m over a crawl space, joists along x."""
    return {
        "wainscot": 1, "id": "job_spans", "units": "m",
        "entities": {
            "low": {"kind": "storey", "name": "Low", "height": 2.4,
                    "floor": {"below": "crawl space", "joists_run": "x", "joist_spacing": 0.4,
                              **floor}},
            "hall": {"kind": "room", "name": "Hall", "storey": "low",
                     "polygon": rectangle(0, 0, 6, 3)},
        },
    }  # fmt: skip


def test_joists_lap_over_a_girder_and_leave_gaps_beside_the_laps() -> None:
    # Joist laps at least 3 in over a bearing: IRC R502.6 (second-hand); gaps beside them judged.
    graph = build(two_spans(girders=[[[3.5, -1], [3.5, 4]]]))
    near, far = "low/hall/joist-bay/3", "low/hall/joist-bay/3/2"
    one, other = (graph.polygon[graph.keys.index(key)] for key in (near, far))
    assert one[:, 0].max() == other[:, 0].min() == pytest.approx(3.5)
    p = passage(graph, near, far)
    assert p is not None
    assert graph.passage_rule[p] == "along the joists"
    assert graph.prior_open[p] > 0.6
    plain = build(two_spans())
    assert far not in plain.keys
    whole = plain.volume[plain.keys.index(near)]
    parts = graph.volume[graph.keys.index(near)] + graph.volume[graph.keys.index(far)]
    assert parts == pytest.approx(whole)


def test_a_girder_along_the_joists_cuts_nothing() -> None:
    graph = build(two_spans(girders=[[[-1, 1.5], [7, 1.5]]]))
    assert graph.keys == build(two_spans()).keys


def over_a_wall(**wall: Any) -> Document:
    """Return a wide room over two, whose partition may bear."""
    document = two_spans()
    document["entities"] |= {
        "hall": {"kind": "room", "name": "Hall", "storey": "low",
                 "polygon": rectangle(0, 0, 3, 3)},
        "shop": {"kind": "room", "name": "Shop", "storey": "low",
                 "polygon": rectangle(3.1, 0, 6, 3)},
        "high": {"kind": "storey", "name": "High", "level": 1, "height": 2.4,
                 "floor": {"joists_run": "x"}},
        "loft_room": {"kind": "room", "name": "Long room", "storey": "high",
                      "polygon": rectangle(0, 0, 6, 3)},
        "wall": {"kind": "wall", "room": "hall", "side": "e1", "build": "stud", **wall},
    }  # fmt: skip
    return document


def test_joists_lap_over_a_wall_below_that_is_known_to_bear() -> None:
    keys = build(over_a_wall(bearing="yes")).keys
    assert "high/loft_room/joist-bay/3/2" in keys
    for bearing in ("no", "unknown"):
        assert "high/loft_room/joist-bay/3/2" not in build(over_a_wall(bearing=bearing)).keys


def test_an_insulated_floor_is_harder_to_enter() -> None:
    pair = ("hall", "low/hall/joist-bay/3")
    chances = []
    for filled in (False, True):
        graph = build(two_spans(insulated=filled))
        p = passage(graph, *pair)
        assert p is not None
        chances.append(graph.prior_open[p])
    assert 0 < chances[1] < chances[0]


def air_brick(height: float) -> Document:
    document = bungalow()
    document["entities"]["brick"] = {
        "kind": "entry_point", "name": "Air brick by the back door", "size": "20 mm",
        "place": {"of": "kitchen/n1", "along": 0.5, "height": height},
    }  # fmt: skip
    return document


def test_an_air_brick_leads_through_the_cavity_to_the_space_under_the_floor() -> None:
    graph = build(air_brick(-0.2))
    e = source(graph, "brick")
    assert graph.kinds[graph.source_void[e]] == "wall cavity"
    p = passage(graph, "kitchen/n1/cavity", "ground/crawl-space/bathroom")
    assert p is not None
    assert graph.passage_rule[p] == "air brick"
    assert graph.aperture[p] == pytest.approx([0.02, 0.02])
    before = build(bungalow())
    old = passage(before, "kitchen/n1/cavity", "ground/crawl-space/bathroom")
    assert old is not None
    assert graph.prior_open[p] > before.prior_open[old]


def test_a_hole_higher_up_leads_into_the_cavity_only() -> None:
    assert "air brick" not in build(air_brick(0.4)).passage_rule


def test_an_entry_point_stands_at_its_own_place() -> None:
    graph = build(air_brick(-0.2))
    # 0.5 m from the north-west corner of the kitchen, on the wall's inner face.
    assert graph.source_at[source(graph, "brick")] == pytest.approx([0.5, 3.6, -0.2])
    drain = graph.source_at[source(graph, "broken_drain")]
    assert drain == pytest.approx([1.0, 3.2, -0.25])


def pools(graph: Graph, key: str) -> set[str]:
    v = graph.keys.index(key)
    return {
        graph.source_pool[e]
        for e in np.flatnonzero(graph.source_void == v).tolist()
        if graph.source_sort[e] == "unknown"
    }


def test_joists_and_loft_at_a_party_wall_may_be_entered_from_the_neighbour() -> None:
    graph = build(bungalow())
    assert "neighbour, east side" in pools(graph, "ground/bathroom/joist-bay/4")
    assert "neighbour, east side" not in pools(graph, "ground/kitchen/joist-bay/4")
    assert "neighbour, east side" in pools(graph, "ground/loft/bathroom")


def test_a_loft_shared_with_the_neighbour_is_a_way_in_with_a_name() -> None:
    document = bungalow()
    document["entities"]["gable"] = {
        "kind": "edge", "room": "bathroom", "side": "e1", "part": "loft", "is": "neighbour",
    }  # fmt: skip
    graph = build(document)
    e = source(graph, "gable")
    assert graph.source_sort[e] == "entry point"
    assert graph.source_words[e] == "the loft shared with the neighbour, east side"
    assert graph.kinds[graph.source_void[e]] == "loft"
    assert graph.source_prior[e, 2] > 0.05
    # Told, so no longer among what nobody drew.
    assert "neighbour, east side" not in pools(graph, "ground/loft/bathroom")
    document["entities"]["gable"]["is"] = "outside"
    graph = build(document)
    assert "gable" not in graph.source_keys
    assert "outside, east side" in pools(graph, "ground/loft/bathroom")


def drains() -> Document:
    document = bungalow()
    document["entities"] |= {
        "main": {"kind": "service", "type": "drain", "name": "House drain", "owner": "water board",
                 "diameter": "110 mm", "path": [[0.5, 0.5, -0.2], [0.5, 3.0, -0.25]],
                 "chambers": [[0.5, 1.0, -0.2]]},
        "branch": {"kind": "service", "type": "drain", "name": "Old branch", "diameter": "110 mm",
                   "joins": "main", "dead_leg": True,
                   "path": [[2.5, 2.0, -0.2], [0.5, 2.0, -0.22]]},
    }  # fmt: skip
    return document


def test_chambers_and_dead_legs_are_ways_in_by_themselves() -> None:
    graph = build(drains())
    chamber, dead = source(graph, "main/chamber/1"), source(graph, "branch")
    assert graph.source_words[chamber] == "inspection chamber on House drain (water board)"
    assert graph.source_words[dead] == "dead end of Old branch"
    assert graph.source_at[dead] == pytest.approx([2.5, 2.0, -0.2])
    assert {graph.source_sort[chamber], graph.source_sort[dead]} == {"entry point"}
    assert graph.source_prior[dead, 2] > graph.source_prior[chamber, 2] > 0
    document = drains()
    document["entities"]["hole"] = {
        "kind": "entry_point", "name": "Cracked end", "place": {"of": "branch", "along": 0},
        "beyond": "drain",
    }  # fmt: skip
    graph = build(document)
    assert "branch" not in graph.source_keys
    assert graph.source_at[source(graph, "hole")] == pytest.approx([2.5, 2.0, -0.2])


def test_a_drain_of_somebody_else_is_pooled_under_its_owner() -> None:
    found = set(build(drains()).source_pool)
    assert {"drain, water board", "drain"} <= found


def test_a_branch_that_joins_no_service_is_a_fault() -> None:
    from wainscot import job

    document = drains()
    document["entities"]["branch"]["joins"] = "mian"
    (fault,) = job.faults(as_job(document))
    assert (fault.code, fault.path) == ("unknown-id", "entities.branch.joins")
    assert "'main'" in fault.cure


def test_splitting_a_void_leaves_the_chance_of_a_colony_inside_where_it_was() -> None:
    def settled(graph: Graph, stem: str) -> float:
        rows = [
            e for e, key in enumerate(graph.source_keys) if key.startswith(f"settled/{stem}")
        ]  # fmt: skip
        return float(graph.source_prior[rows, 2].sum())

    whole = build(two_spans())
    cut = build(two_spans(girders=[[[3.5, -1], [3.5, 4]]]))
    for stem in ("low/hall/joist-bay/3", "hall/n1", "low/loft", "low/crawl"):
        assert settled(cut, stem) == pytest.approx(settled(whole, stem), rel=1e-9)


def test_a_suspended_ceiling_fills_its_room_and_is_meant_by_its_ceiling() -> None:
    from wainscot.job import Place

    document = semi()
    document["entities"]["tiles"] = {
        "kind": "fixture", "type": "suspended ceiling", "room": "kitchen", "against": "n1",
    }  # fmt: skip
    found = plan.read(as_job(document))
    graph = build(document)
    v = graph.keys.index("tiles/over")
    room = shapely.Polygon(found.room("kitchen").polygon)
    assert shapely.Polygon(graph.polygon[v]).area == pytest.approx(room.area)
    assert graph.top[v] - graph.bottom[v] == pytest.approx(0.3)
    assert graph.harborage[v] == "wide"
    where = voids.locate(graph, found, Place(of="kitchen", part="ceiling"))
    assert v in where
    near = {graph.kinds[a + b - v] for a, b in graph.edges.tolist() if v in (a, b)}
    assert {"room", "joist bay", "stud bay"} <= near


def test_harbourage_comes_with_the_graph() -> None:
    graph = build(bungalow())
    found = dict(zip(graph.keys, graph.harborage, strict=True))
    assert found["kitchen"] == "room"
    assert found["bath/under"] == found["units/under"] == "warm"
    assert found["bathroom/w1/bay/5"] == "narrow"
    assert found["ground/loft/bathroom"] == "wide"

"""Voids of walls and floors against hand-worked rooms."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from houses import as_job, bungalow, rectangle, semi
from wainscot import plan, voids
from wainscot.voids import Graph
from wainscot.voids.modules import area, modules, rectangles


def build(document: dict[str, Any], species: str = "norway rat") -> Graph:
    return voids.build(plan.read(as_job(document)), species)


def at(graph: Graph, key: str) -> int:
    return graph.keys.index(key)


def chance(graph: Graph, one: str, other: str) -> float:
    """Return the chance that the passage between two voids is open, 0 if there is none."""
    ends = sorted((at(graph, one), at(graph, other)))
    for p, pair in enumerate(graph.edges.tolist()):
        if pair == ends:
            return float(graph.prior_open[p])
    return 0.0


def test_modules_by_hand() -> None:
    # 2.0 m of wall, studs 40 mm at 400 mm from the left end: 340, then 360 three times, then 340.
    found = modules(0.0, 2.0, 0.0, 0.4, 0.04)
    assert [n for n, _, _ in found] == [0, 1, 2, 3, 4]
    assert [round(high - low, 6) for _, low, high in found] == [0.34, 0.36, 0.36, 0.36, 0.34]


def test_modules_before_the_first_stud_have_negative_numbers() -> None:
    found = modules(0.0, 1.2, 0.95, 0.4, 0.04)
    assert [n for n, _, _ in found] == [-3, -2, -1, 0]
    # Slices narrower than 60 mm are left out: the first here would be 0.04 to 0.08.
    found = modules(0.0, 1.2, 0.1, 0.4, 0.04)
    assert [n for n, _, _ in found] == [0, 1, 2]


@pytest.mark.parametrize(
    "ring",
    [
        rectangle(0, 0, 4, 3),
        [[0, 0], [4, 0], [4, 2], [2.5, 2], [2.5, 3], [0, 3]],
        [[0, 0], [5, 0], [5, 3], [4, 3], [4, 1], [1, 1], [1, 3], [0, 3]],
    ],
)
def test_rectangles_fill_an_outline_without_overlap(ring: list[list[float]]) -> None:
    shape = shapely.Polygon(ring)
    parts = rectangles(shape)
    assert area(parts) == pytest.approx(shape.area)
    merged = shapely.union_all([shapely.box(*part) for part in parts])
    assert merged.symmetric_difference(shape).area < 1e-9


def test_a_window_leaves_bays_below_its_sill_and_above_its_head() -> None:
    document = bungalow()
    # The south wall is of studs; a window from 0.8 to 1.6 m, sill 0.9, head 1.9 of 2.4 m.
    document["entities"]["window"] |= {"side": "s1", "along": 0.8, "width": 0.8, "head": 1.9}
    graph = build(document)
    below = [
        key for key in graph.keys if key.startswith("kitchen/s1") and key.endswith("below-sill")
    ]
    above = [
        key for key in graph.keys if key.startswith("kitchen/s1") and key.endswith("above-head")
    ]
    assert below == ["kitchen/s1/bay/2/below-sill", "kitchen/s1/bay/3/below-sill"]
    assert above == ["kitchen/s1/bay/2/above-head", "kitchen/s1/bay/3/above-head"]
    v = at(graph, below[0])
    # Sole plate 38 mm up, sill trimmer 38 mm under the sill.
    assert (graph.bottom[v], graph.top[v]) == (pytest.approx(0.038), pytest.approx(0.862))
    # The whole bays beside it end a stud short of the window.
    left = graph.polygon[at(graph, "kitchen/s1/bay/1")]
    assert 3.2 - left[:, 0].min() == pytest.approx(0.8 - 0.038)


def test_a_door_leaves_a_bay_above_its_head_only_where_there_is_height() -> None:
    # Door head 2.0 m, header 0.15: 2.4 - 0.038 - 2.15 = 0.21 m remain above it.
    graph = build(bungalow())
    assert "bathroom/w1/bay/1/above-head" in graph.keys
    document = bungalow()
    document["entities"]["ground"]["height"] = 2.25
    assert not [key for key in build(document).keys if "above-head" in key]


def test_a_cavity_wall_is_one_void_less_its_window() -> None:
    graph = build(bungalow())
    v = at(graph, "kitchen/n1/cavity")
    height = float(graph.top[v] - graph.bottom[v])
    # Floor 22 + 100 + 150 mm below, 2.4 m and 12.5 mm of ceiling above; window 1.0 x 1.2 m.
    assert height == pytest.approx(2.4 + 0.0125 + 0.272)
    assert graph.volume[v] == pytest.approx((3.2 * height - 1.0 * 1.2) * 0.05)


def test_joist_bays_of_a_plain_room_by_hand() -> None:
    # Kitchen 3.2 x 3.6 m, joists along x at 400 mm, 50 mm wide: 9 bays across 3.6 m.
    graph = build(bungalow())
    bays = [key for key in graph.keys if key.startswith("ground/kitchen/joist-bay/")]
    assert bays == [f"ground/kitchen/joist-bay/{n}" for n in range(9)]
    v = at(graph, bays[4])
    ring = graph.polygon[v]
    assert np.ptp(ring[:, 1]) == pytest.approx(0.35)
    assert ring[:, 1].min() == pytest.approx(4 * 0.4 + 0.025)
    assert (graph.bottom[v], graph.top[v]) == (pytest.approx(-0.122), pytest.approx(-0.022))


def test_the_floor_runs_on_under_the_partition_and_the_bays_meet() -> None:
    graph = build(bungalow())
    # The bathroom owns the partition (bathroom/w1), so its floor reaches the kitchen's.
    assert graph.polygon[at(graph, "ground/bathroom/joist-bay/4")][:, 0].min() == pytest.approx(3.2)
    along = chance(graph, "ground/bathroom/joist-bay/4", "ground/kitchen/joist-bay/4")
    across = chance(graph, "ground/kitchen/joist-bay/4", "ground/kitchen/joist-bay/5")
    assert along > 0.8 > 0.2 > across > 0


def test_turning_the_joists_turns_the_bays() -> None:
    document = bungalow()
    document["entities"]["ground"]["floor"]["joists_run"] = "y"
    graph = build(document)
    assert np.ptp(graph.polygon[at(graph, "ground/kitchen/joist-bay/4")][:, 0]) == pytest.approx(
        0.35
    )


def test_without_a_direction_joists_take_the_shorter_side_of_each_room() -> None:
    document = bungalow()
    document["entities"]["ground"]["floor"].pop("joists_run")
    document["entities"].pop("door")
    document["entities"]["kitchen"]["polygon"] = rectangle(0, 0, 3.2, 3.0)
    document["entities"]["bathroom"]["polygon"] = rectangle(3.3, 0, 5.5, 3.0)
    graph = build(document)
    kitchen = graph.polygon[at(graph, "ground/kitchen/joist-bay/2")]
    bathroom = graph.polygon[at(graph, "ground/bathroom/joist-bay/2")]
    assert np.ptp(kitchen[:, 1]) > np.ptp(kitchen[:, 0])
    assert np.ptp(bathroom[:, 0]) > np.ptp(bathroom[:, 1])


def test_one_crawl_space_and_one_loft_span_both_rooms() -> None:
    graph = build(bungalow())
    crawl, loft = at(graph, "ground/crawl-space/bathroom"), at(graph, "ground/loft/bathroom")
    for v in (crawl, loft):
        ring = shapely.Polygon(graph.polygon[v])
        assert ring.area == pytest.approx(5.5 * 3.6)
    assert graph.volume[crawl] == pytest.approx(5.5 * 3.6 * 0.15)
    # Half of area times ridge height (2 m).
    assert graph.volume[loft] == pytest.approx(5.5 * 3.6 * 2.0 / 2)


def test_a_slab_has_no_joist_bays_and_no_crawl_space() -> None:
    document = bungalow()
    document["entities"]["ground"]["floor"] = {"build": "slab"}
    kinds = set(build(document).kinds)
    assert not kinds & {"joist bay", "crawl space", "underfloor void"}


def test_a_ceiling_with_nothing_drawn_above_has_bays_at_the_edge_of_the_plan() -> None:
    document = semi()
    document["entities"] = {
        key: entity
        for key, entity in document["entities"].items()
        if entity.get("room") != "bathroom"
        and key not in ("bathroom", "look_units", "nothing_bath", "stair")
    }
    graph = build(document)
    ceiling = [key for key in graph.keys if key.startswith("ground/kitchen/ceiling-bay/")]
    assert ceiling
    pools = {
        graph.source_pool[e]
        for e, v in enumerate(graph.source_void.tolist())
        if graph.keys[v] == ceiling[0] and graph.source_sort[e] == "unknown"
    }
    assert pools == {"not drawn yet, ceiling"}
    assert not [key for key in graph.keys if key.startswith("ground/hall/ceiling-bay/")]


def test_two_storeys_of_four_rooms_give_a_graph_of_the_expected_size() -> None:
    graph = build(semi())
    assert 200 <= len(graph.keys) <= 350
    assert len(graph.edges) < 5 * len(graph.keys)


def test_fire_blocks_shut_a_balloon_frame_and_their_absence_opens_it() -> None:
    def upward(blocked: str, framing: str) -> float:
        document = semi()
        document["entities"]["shared"] = {
            "kind": "wall", "room": "front_room", "side": "w1", "build": "stud",
            "framing": framing, "blocked": blocked,
        }  # fmt: skip
        graph = build(document)
        v = at(graph, "front_room/w1/bay/3")
        over = [
            float(graph.prior_open[p])
            for p, (a, b) in enumerate(graph.edges.tolist())
            if v in (a, b) and graph.bottom[a + b - v] > graph.top[v]
        ]
        return float(1 - np.prod(1 - np.array(over)))

    assert upward("no", "balloon") > 0.85
    assert upward("yes", "balloon") < 0.1
    assert upward("unknown", "platform") < 0.25


def test_the_cavity_runs_round_the_corner_and_up_to_the_loft() -> None:
    graph = build(bungalow())
    assert chance(graph, "kitchen/n1/cavity", "kitchen/w1/cavity") > 0.9
    assert chance(graph, "bathroom/n1/cavity", "kitchen/n1/cavity") > 0.9
    assert chance(graph, "kitchen/n1/cavity", "ground/loft/bathroom") > 0.6
    # Joists along x end in the west wall's inner leaf, not in the north wall's.
    assert chance(graph, "ground/kitchen/joist-bay/4", "kitchen/w1/cavity") > 0.2
    assert chance(graph, "ground/kitchen/joist-bay/4", "kitchen/n1/cavity") == 0.0


def test_doors_join_rooms_and_a_blank_wall_does_not() -> None:
    graph = build(bungalow())
    assert chance(graph, "kitchen", "bathroom") > 0.9
    document = bungalow()
    document["entities"].pop("door")
    assert chance(build(document), "kitchen", "bathroom") == 0.0


def test_a_filled_bay_is_a_void_still_but_harder_to_enter() -> None:
    plain, filled = bungalow(), bungalow()
    filled["entities"]["partition"]["insulated"] = True
    pair = ("bathroom/w1/bay/5", "bathroom/w1/bay/6")
    assert 0 < chance(build(filled), *pair) < chance(build(plain), *pair)


def test_a_lined_solid_wall_has_a_gap_behind_its_boards() -> None:
    document = bungalow()
    document["entities"]["party"] = {
        "kind": "wall", "room": "bathroom", "side": "e1", "build": "solid", "lined": True,
    }  # fmt: skip
    graph = build(document)
    v = at(graph, "bathroom/e1/lining")
    assert graph.volume[v] == pytest.approx(3.6 * 2.4 * 0.02)
    assert chance(graph, "bathroom/e1/lining", "ground/bathroom/joist-bay/4") > 0.1


def test_the_stair_joins_the_rooms_of_two_storeys() -> None:
    assert chance(build(semi()), "hall", "landing") > 0.9


def test_faces_say_from_which_room_a_void_is_reached_and_how_large_the_face_is() -> None:
    graph = build(bungalow())
    v = at(graph, "bathroom/w1/bay/6")
    faces = {(face.room, face.part) for face in graph.faces[v]}
    assert faces == {("bathroom", "wall"), ("kitchen", "wall")}
    width = float(np.ptp(graph.polygon[v], axis=0).max())
    height = float(graph.top[v] - graph.bottom[v])
    assert all(face.area == pytest.approx(width * height) for face in graph.faces[v])
    under = at(graph, "ground/kitchen/joist-bay/4")
    assert {(face.room, face.part) for face in graph.faces[under]} == {
        ("kitchen", "floor"), ("", "ceiling"),
    }  # fmt: skip
    bath = graph.faces[at(graph, "bath/under")]
    assert [(face.room, face.part, face.finish) for face in bath] == [
        ("bathroom", "front", "bath panel")
    ]


def _pools(graph: Graph, key: str) -> set[str]:
    return {
        graph.source_pool[e]
        for e, v in enumerate(graph.source_void.tolist())
        if graph.keys[v] == key and graph.source_sort[e] == "unknown"
    }


def test_a_room_straight_under_the_roof_has_rafter_bays_towards_the_outside() -> None:
    document = bungalow()
    document["entities"]["ground"]["ceiling"] = "roof"
    graph = build(document)
    assert "loft" not in graph.kinds
    assert graph.kinds[at(graph, "ground/kitchen/ceiling-bay/3")] == "rafter bay"
    assert _pools(graph, "ground/kitchen/ceiling-bay/3") == {"outside, roof"}


def test_a_neighbour_above_or_below_is_an_edge_of_that_room_only() -> None:
    document = semi()
    document["entities"] |= {
        "over": {"kind": "edge", "room": "bathroom", "part": "ceiling", "is": "neighbour"},
        "low": {"kind": "edge", "room": "bathroom", "part": "floor", "is": "neighbour"},
    }
    graph = build(document)
    assert _pools(graph, "upper/bathroom/ceiling-bay/2") == {"neighbour, ceiling"}
    # The joists bear on the walls at both ends: what lies beyond those is an edge as well.
    assert "neighbour, floor" in _pools(graph, "upper/bathroom/joist-bay/2")
    assert not [key for key in graph.keys if key.startswith("upper/landing/ceiling-bay")]


def test_two_floors_of_one_level_may_be_built_differently() -> None:
    document = bungalow()
    document["entities"]["scullery"] = {
        "kind": "storey", "name": "Scullery", "level": 0, "height": 2.4,
        "floor": {"build": "slab"},
    }  # fmt: skip
    document["entities"]["bathroom"]["storey"] = "scullery"
    graph = build(document)
    assert not [key for key in graph.keys if key.startswith("scullery/bathroom/joist-bay")]
    assert "ground/kitchen/joist-bay/4" in graph.keys
    assert chance(graph, "kitchen", "bathroom") > 0.9
    assert "ground, floor" in _pools(graph, "bathroom")


def test_a_cellar_lies_under_the_joists_of_the_ground_floor() -> None:
    document = bungalow()
    document["entities"]["cellar_floor"] = {
        "kind": "storey", "name": "Cellar", "level": -1, "height": 2.0,
    }  # fmt: skip
    document["entities"]["ground"]["floor"].pop("below")
    document["entities"]["cellar"] = {
        "kind": "room", "name": "Cellar", "storey": "cellar_floor",
        "polygon": rectangle(0, 0, 3.2, 3.6),
    }  # fmt: skip
    graph = build(document)
    assert not [kind for kind in graph.kinds if kind in ("crawl space", "underfloor void")]
    assert chance(graph, "cellar", "ground/kitchen/joist-bay/4") > 0
    assert _pools(graph, "ground/kitchen/joist-bay/4") == set()
    assert _pools(graph, "ground/bathroom/joist-bay/4") == {
        "not drawn yet, floor", "neighbour, east side",
    }  # fmt: skip

"""Walls at any angle: turning a house changes coordinates only; slants cut bays, no more."""

from __future__ import annotations

import copy
import math
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from random_house import houses, slanted_houses

from houses import as_job, bungalow, semi
from wainscot import plan, voids
from wainscot.voids import Graph
from wainscot.voids.building import all_spaces

Document = dict[str, Any]
# Without shrinking: a failing house is small enough to read as it is.
QUICK = settings(
    max_examples=25, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow],
)  # fmt: skip


def build(document: Document, species: str = "norway rat") -> Graph:
    return voids.build(plan.read(as_job(document)), species)


def spun(document: Document, degrees: float) -> Document:
    """Return the house turned about the origin, its joists, runs and places with it."""
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turn(x: float, y: float) -> list[float]:
        return [cosine * x - sine * y, sine * x + cosine * y]

    out = copy.deepcopy(document)
    for entity in out["entities"].values():
        if "polygon" in entity:
            entity["polygon"] = [turn(x, y) for x, y in entity["polygon"]]
        if "path" in entity:
            entity["path"] = [[*turn(x, y), z] for x, y, z in entity["path"]]
        if "at" in entity.get("place", {}):
            entity["place"]["at"] = turn(*entity["place"]["at"])
        floor = entity.get("floor", {})
        if floor.get("joists_run") in ("x", "y"):
            floor["joists_run"] = degrees + {"x": 0.0, "y": 90.0}[floor["joists_run"]]
        for name, value in entity.get("choices", {}).items():
            if name.endswith("joists_run"):
                entity["choices"][name] = degrees + {"x": 0.0, "y": 90.0}[value]
    return out


def alike(one: Graph, other: Graph) -> None:
    """Two graphs agree in all but coordinates."""
    assert one.keys == other.keys
    assert one.labels == other.labels
    assert one.passage_keys == other.passage_keys
    assert one.passage_rule == other.passage_rule
    np.testing.assert_allclose(one.prior_open, other.prior_open, atol=1e-4)
    np.testing.assert_allclose(one.prior_run, other.prior_run, atol=1e-4)
    np.testing.assert_allclose(one.volume, other.volume, rtol=1e-4, atol=1e-6)
    np.testing.assert_allclose(one.bottom, other.bottom)
    assert one.source_keys == other.source_keys
    np.testing.assert_allclose(one.source_prior, other.source_prior, atol=1e-4)


@QUICK
@given(houses(), st.integers(-44, 44))
def test_turning_the_house_changes_coordinates_only(document: Document, degrees: int) -> None:
    one, other = build(document), build(spun(document, degrees))
    assert one.keys == other.keys
    assert one.labels == other.labels
    assert one.passage_keys == other.passage_keys
    np.testing.assert_allclose(one.prior_open, other.prior_open, atol=1e-4)
    np.testing.assert_allclose(one.volume, other.volume, rtol=1e-4, atol=1e-6)


@pytest.mark.parametrize("house", [bungalow, semi])
def test_turning_by_nothing_changes_no_bit(house: Any) -> None:
    one, other = build(house()), build(spun(house(), 0.0))
    assert one.keys == other.keys
    np.testing.assert_array_equal(one.prior_open, other.prior_open)
    np.testing.assert_array_equal(one.volume, other.volume)
    for a, b in zip(one.polygon, other.polygon, strict=True):
        np.testing.assert_array_equal(a, b)


@pytest.mark.parametrize("degrees", [17.0, -20.0])
def test_a_house_with_fixtures_drains_and_ways_in_may_stand_askew(degrees: float) -> None:
    alike(build(bungalow()), build(spun(bungalow(), degrees)))


@QUICK
@given(houses(), st.integers(-44, 44))
def test_corners_typed_to_the_millimetre_give_the_same_voids(
    document: Document, degrees: int
) -> None:
    exact = spun(document, degrees)
    typed = copy.deepcopy(exact)
    for entity in typed["entities"].values():
        if "polygon" in entity:
            entity["polygon"] = [[round(x, 3), round(y, 3)] for x, y in entity["polygon"]]
    one, other = build(exact), build(typed)
    # A slice of bay near the least width may come or go; nothing else does.
    assert len(set(one.keys) ^ set(other.keys)) <= 0.02 * len(one.keys)
    assert len(set(one.passage_keys) ^ set(other.passage_keys)) <= 0.02 * len(one.passage_keys)


@QUICK
@given(slanted_houses())
def test_leaning_walls_make_voids_that_neither_overlap_nor_reach_into_rooms(
    document: Document,
) -> None:
    found = as_job(document)
    assert not plan.faults(found)
    spaces = all_spaces(plan.read(found))
    hidden = [space for space in spaces if space.hidden and space.form != "fixture"]
    rooms = [space for space in spaces if not space.hidden]
    for n, one in enumerate(hidden):
        for other in (*hidden[n + 1 :], *rooms):
            if min(one.top, other.top) - max(one.bottom, other.bottom) > 1e-6:
                shared = one.plot.polygon.intersection(other.plot.polygon).area
                assert shared < 1e-4, (one.key, other.key, shared)


@QUICK
@given(slanted_houses())
def test_every_void_of_a_leaning_house_leads_somewhere(document: Document) -> None:
    graph = build(document)
    assert len(set(graph.keys)) == len(graph.keys)
    assert len(set(graph.labels)) == len(graph.labels)
    assert np.all(graph.volume > 0)
    joined = np.bincount(graph.edges.ravel(), minlength=len(graph.keys))
    assert joined.min() > 0
    assert np.all((graph.prior_open > 0) & (graph.prior_open < 1))


def lean() -> Document:
    """Return two rooms with a partition that runs north-east, 100 mm thick, and joists along x."""
    cut = 0.1 * math.sqrt(2)
    return {
        "wainscot": 1, "id": "job_lean", "units": "m",
        "entities": {
            "low": {"kind": "storey", "name": "Low", "height": 2.4,
                    "floor": {"joists_run": "x", "joist_spacing": 0.4}},
            "one": {"kind": "room", "name": "One", "storey": "low",
                    "polygon": [[0, 0], [2, 0], [5, 3], [0, 3]]},
            "two": {"kind": "room", "name": "Two", "storey": "low",
                    "polygon": [[2 + cut, 0], [8, 0], [8, 3], [5 + cut, 3]]},
            "wall": {"kind": "wall", "room": "one", "side": "e1", "build": "stud"},
        },
    }  # fmt: skip


def test_a_partition_at_45_degrees_has_bays_of_the_usual_width() -> None:
    found = plan.read(as_job(lean()))
    wall = next(one for one in found.walls if one.facing)
    # One side faces south-east, the other north-west: named by the first quarter clockwise.
    assert (wall.id, wall.facing_side) == ("one/e1", "w1")
    assert wall.side.facing == "south-east"
    assert wall.thickness == pytest.approx(0.1)
    # Each room's face is 3 root 2 long; they overlap but for the thickness, 0.1, at one end.
    assert wall.high - wall.low == pytest.approx(3 * math.sqrt(2) - 0.1)
    graph = build(lean())
    v = graph.keys.index("one/e1/bay/4")
    edges = np.linalg.norm(np.diff(graph.polygon[v], axis=0), axis=1)
    # 400 mm centres less a 38 mm stud; 100 mm less two boards of 12.5 mm.
    assert sorted(edges.round(6).tolist())[0] == pytest.approx(0.075)
    assert max(edges) == pytest.approx(0.362)


def test_joist_bays_under_a_slant_end_at_it_and_fill_the_floor() -> None:
    graph = build(lean())
    rows = [v for v, key in enumerate(graph.keys) if key.startswith("low/one/joist-bay/")]
    shapes = [shapely.Polygon(graph.polygon[v]) for v in rows]
    # Bay 3 lies between joists at 1.2 and 1.6 m, 50 mm thick: 0.35 m wide, its middle at 1.4 m.
    # It runs from under the west wall's studs (12.5 and 75 mm) to the far face of the partition,
    # 100 mm square to a slant of 45 degrees.
    length = (0.0125 + 0.075) + (2 + 1.4) + 0.1 * math.sqrt(2)
    assert shapes[3].area == pytest.approx(0.35 * length)
    lengths = [float(np.ptp(graph.polygon[v][:, 0])) for v in rows]
    assert lengths == sorted(lengths)
    depth = float(graph.top[rows[0]] - graph.bottom[rows[0]])
    assert graph.volume[rows[3]] == pytest.approx(shapes[3].area * depth)


def test_rooms_lean_on_each_other_and_animals_pass_the_slant() -> None:
    graph = build(lean())

    def joined(one: str, other: str) -> bool:
        ends = {graph.keys.index(one), graph.keys.index(other)}
        return any(set(pair) == ends for pair in graph.edges.tolist())

    assert joined("one", "one/e1/bay/4")
    assert joined("two", "one/e1/bay/4")
    assert joined("one/e1/bay/4", "one/e1/bay/5")
    assert any(
        joined(f"low/one/joist-bay/{n}", f"low/two/joist-bay/{m}") for n in (3,) for m in range(8)
    )


def test_a_fixture_and_a_place_against_a_slant_lie_where_they_should() -> None:
    document = lean()
    document["entities"]["run"] = {
        "kind": "fixture", "type": "base cabinet run", "room": "one", "against": "e1",
        "along": 1.5, "width": 1.2, "depth": 0.6,
    }  # fmt: skip
    found = plan.read(as_job(document))
    assert plan.faults(as_job(document)) == []
    at = found.fixtures[0]
    assert (
        shapely.Polygon(found.room("one").polygon).buffer(1e-9).contains(shapely.Polygon(at.ring))
    )
    assert shapely.Polygon(at.ring).area == pytest.approx(0.72)
    graph = build(document)
    under = graph.keys.index("run/under")
    behind = {
        graph.keys[a + b - under]
        for (a, b), rule in zip(graph.edges.tolist(), graph.passage_rule, strict=True)
        if under in (a, b) and rule == "unboarded strip"
    }
    # Seen from inside, along counts from the north-east end of that side.
    assert {key.rsplit("/", 1)[0] for key in behind} == {"one/e1/bay"}
    place = voids.locate(graph, found, plan_place("one/e1", 2.0))
    assert graph.keys[place[0]].startswith("one/e1/bay/")


def plan_place(of: str, along: float) -> Any:
    from wainscot.job import Place

    return Place(of=of, along=along, height=1.0)


def test_joists_told_in_degrees_run_that_way() -> None:
    document = bungalow()
    floor = document["entities"]["ground"]["floor"]
    for told, same in ((0.0, "x"), (90.0, "y"), (180.0, "x")):
        floor["joists_run"] = told
        one = build(document)
        floor["joists_run"] = same
        assert one.keys == build(document).keys
    floor["joists_run"] = 30.0
    graph = build(document)
    v = graph.keys.index("ground/kitchen/joist-bay/4")
    ring = graph.polygon[v]
    edges = np.diff(np.vstack([ring, ring[:1]]), axis=0)
    longest = edges[np.argmax(np.linalg.norm(edges, axis=1))]
    assert math.degrees(math.atan2(longest[1], longest[0])) % 180 == pytest.approx(30.0)


def test_an_eight_sided_bay_names_its_sides_by_the_nearest_quarter() -> None:
    ring = [[0, 0], [3, 0], [4, 1], [4, 2], [3, 3], [0, 3]]
    document = {
        "wainscot": 1, "id": "job_bay", "units": "m",
        "entities": {
            "low": {"kind": "storey", "name": "Low", "height": 2.4},
            "bay": {"kind": "room", "name": "Bay", "storey": "low", "polygon": ring},
        },
    }  # fmt: skip
    sides = {side.name: side.facing for side in plan.read(as_job(document)).rooms[0].sides}
    # South-east lies between south and east: the first of the two clockwise is east.
    assert sides == {
        "n1": "north", "n2": "north-east", "e1": "south-east", "e2": "east",
        "s1": "south", "w1": "west",
    }  # fmt: skip

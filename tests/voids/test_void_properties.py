"""What holds for every house: nothing overlaps, nothing far away is renamed, place is relative."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from random_house import houses

from houses import as_job, bungalow, ranch, semi
from wainscot import job, plan, voids
from wainscot.voids import Graph
from wainscot.voids.building import all_spaces

Document = dict[str, Any]
QUICK = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def build(document: Document, species: str = "norway rat") -> Graph:
    return voids.build(plan.read(as_job(document)), species)


@QUICK
@given(houses())
def test_a_drawn_house_has_no_faults_and_no_two_hidden_voids_share_space(
    document: Document,
) -> None:
    found = as_job(document)
    assert not job.faults(found)
    assert not plan.faults(found)
    spaces = [space for space in all_spaces(plan.read(found)) if space.hidden]
    blocks = [
        (space.key, shapely.box(*part), space.bottom, space.top)
        for space in spaces
        for part in space.rectangles
    ]
    tree = shapely.STRtree([block[1] for block in blocks])
    for n, (key, shape, bottom, top) in enumerate(blocks):
        for m in tree.query(shape).tolist():
            other, other_shape, other_bottom, other_top = blocks[m]
            if m <= n or min(top, other_top) - max(bottom, other_bottom) < 1e-6:
                continue
            assert shape.intersection(other_shape).area < 1e-6, (key, other)


@QUICK
@given(houses())
def test_no_hidden_void_reaches_into_a_room(document: Document) -> None:
    found = plan.read(as_job(document))
    spaces = all_spaces(found)
    for space in spaces:
        if not space.hidden:
            continue
        for room in spaces:
            if room.hidden or min(space.top, room.top) - max(space.bottom, room.bottom) < 1e-6:
                continue
            shared = sum(
                shapely.box(*a).intersection(shapely.box(*b)).area
                for a in space.rectangles
                for b in room.rectangles
            )
            assert shared < 1e-6, (space.key, room.key)


@QUICK
@given(houses())
def test_chances_are_chances_and_every_graph_is_well_formed(document: Document) -> None:
    graph = build(document)
    assert len(set(graph.keys)) == len(graph.keys)
    assert len(set(graph.labels)) == len(graph.labels)
    assert np.all(graph.volume > 0)
    assert np.all(graph.top > graph.bottom)
    assert np.all(graph.edges[:, 0] < graph.edges[:, 1])
    assert len({tuple(ends) for ends in graph.edges.tolist()}) == len(graph.edges)
    for chance in (graph.prior_open, graph.prior_run):
        assert np.all((chance > 0) & (chance < 1))
    assert np.all(graph.aperture[:, 0] <= graph.aperture[:, 1])
    assert np.allclose(graph.source_prior.sum(axis=1), 1.0)
    assert np.all(graph.source_prior >= 0)
    for ring in graph.polygon:
        x, y = ring[:, 0], ring[:, 1]
        assert np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)) > 0


@QUICK
@given(houses(), st.integers(-400, 400), st.integers(-400, 400))
def test_moving_the_house_changes_only_coordinates(document: Document, dx: int, dy: int) -> None:
    moved = copy.deepcopy(document)
    # A quarter of a metre is exact in binary, so that no rounding decides a tie.
    shift = np.array([dx / 4, dy / 4])
    for entity in moved["entities"].values():
        if "polygon" in entity:
            entity["polygon"] = [[x + dx / 4, y + dy / 4] for x, y in entity["polygon"]]
    one, other = build(document), build(moved)
    assert one.keys == other.keys
    assert one.labels == other.labels
    assert one.passage_keys == other.passage_keys
    np.testing.assert_allclose(one.prior_open, other.prior_open, atol=1e-6)
    np.testing.assert_allclose(one.volume, other.volume, atol=1e-6)
    for a, b in zip(one.polygon, other.polygon, strict=True):
        np.testing.assert_allclose(a + shift, b, atol=1e-6)


@QUICK
@given(houses(), st.integers(5, 30))
def test_a_room_drawn_elsewhere_renames_nothing(document: Document, far: int) -> None:
    edited = copy.deepcopy(document)
    west = 20.0 + far / 10
    edited["entities"]["a_far_room"] = {
        "kind": "room", "name": "Far", "storey": "level0",
        "polygon": [[west, 0], [west + 3, 0], [west + 3, 3], [west, 3]],
    }  # fmt: skip
    before, after = build(document), build(edited)
    assert not [key for key in before.keys if key not in after.keys]
    index = after.index()
    for v, key in enumerate(before.keys):
        np.testing.assert_array_equal(before.polygon[v], after.polygon[index[key]])
        assert before.bottom[v] == after.bottom[index[key]]


def _geometry(graph: Graph) -> dict[tuple[Any, ...], str]:
    return {
        (graph.kinds[v], graph.polygon[v].tobytes(), float(graph.bottom[v]), float(graph.top[v])):
            key
        for v, key in enumerate(graph.keys)
    }  # fmt: skip


@pytest.mark.parametrize(
    "edit",
    [
        lambda e: e["bathroom"].update(polygon=[[3.3, 0], [6.1, 0], [6.1, 3.6], [3.3, 3.6]]),
        lambda e: e["units"].update(width=1.2),
        lambda e: [e.pop("bath"), e.pop("look_bath")],
        lambda e: e["window"].update(along=0.4, width=0.6),
        lambda e: e["door"].update(along=0.2),
        lambda e: e["ground"].update(height=2.6),
    ],
    ids=["room wider", "cabinets shorter", "bath out", "window moved", "door moved", "higher"],
)
def test_voids_with_unchanged_geometry_keep_their_ids(
    edit: Callable[[dict[str, Any]], None],
) -> None:
    document = bungalow()
    edited = bungalow()
    edit(edited["entities"])
    before, after = _geometry(build(document)), _geometry(build(edited))
    same = set(before) & set(after)
    assert len(same) > 10
    assert {before[shape] for shape in same} == {after[shape] for shape in same}
    assert all(before[shape] == after[shape] for shape in same)


@pytest.mark.parametrize("house", [bungalow, semi, ranch])
def test_the_order_of_entities_in_the_file_changes_nothing(
    house: Callable[[], Document],
) -> None:
    document = house()
    turned = {**document, "entities": dict(reversed(document["entities"].items()))}
    one, other = build(document), build(turned)
    assert one.keys == other.keys
    assert one.labels == other.labels
    assert one.passage_keys == other.passage_keys
    assert one.source_keys == other.source_keys
    np.testing.assert_array_equal(one.prior_open, other.prior_open)
    np.testing.assert_array_equal(one.source_prior, other.source_prior)


def test_new_ids_rename_voids_and_change_no_chance() -> None:
    document = bungalow()
    text = {"kitchen": "z_kitchen", "bathroom": "z_bathroom", "ground": "z_ground"}
    renamed = copy.deepcopy(document)
    renamed["entities"] = {text.get(k, k): e for k, e in renamed["entities"].items()}
    for entity in renamed["entities"].values():
        for field in ("room", "storey"):
            if field in entity:
                entity[field] = text[entity[field]]
        place = entity.get("place", {})
        for field in ("of", "storey"):
            for old, new in text.items():
                if field in place and place[field].split("/")[0] == old:
                    place[field] = place[field].replace(old, new)
    one, other = build(document), build(renamed)

    def by_key(graph: Graph, prefix: str) -> dict[str, float]:
        return {
            key.replace(prefix, ""): float(chance)
            for key, chance in zip(graph.passage_keys, graph.prior_open, strict=True)
        }

    first = by_key(one, "z_")
    second = by_key(other, "z_")
    pairs = {frozenset(key.split(" | ")): value for key, value in first.items()}
    turned = {frozenset(key.split(" | ")): value for key, value in second.items()}
    assert pairs.keys() == turned.keys()
    for key, value in pairs.items():
        assert turned[key] == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize("house", [bungalow, semi, ranch])
def test_what_a_mouse_cannot_pass_a_rat_cannot_either(house: Callable[[], Document]) -> None:
    # Thresholds 6 and 13 mm: exclusion guides (CDC; state extension).
    mouse, rat = build(house(), "house mouse"), build(house(), "norway rat")
    chance = dict(zip(mouse.passage_keys, mouse.prior_open, strict=True))
    for key, value in zip(rat.passage_keys, rat.prior_open, strict=True):
        assert value <= chance[key] + 1e-12

"""Labels stay: what is drawn, moved or taken out in one room renumbers no bay of another."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest

from houses import as_job, bungalow, ranch, semi
from wainscot import plan, voids
from wainscot.voids import Graph
from wainscot.voids.labels import _placed

Document = dict[str, Any]


def build(document: Document) -> Graph:
    return voids.build(plan.read(as_job(document)), "norway rat")


def by_key(graph: Graph) -> dict[str, str]:
    return dict(zip(graph.keys, graph.labels, strict=True))


EDITS: dict[str, tuple[Callable[[], Document], Callable[[dict[str, Any]], Any], str]] = {
    "a window in the hall": (
        semi, lambda e: e.update(hall_window={
            "kind": "opening", "room": "hall", "side": "s1", "type": "window", "along": 0.2,
            "width": 0.6}), "hall",
    ),
    "the dining room longer": (
        semi, lambda e: e["dining_room"].update(
            polygon=[[2.7, 4.1], [5.9, 4.1], [5.9, 8.6], [2.7, 8.6]]), "dining_room",
    ),
    "the bath taken out": (semi, lambda e: e.pop("bath"), "bath"),
    "the units shorter": (bungalow, lambda e: e["units"].update(width=1.2), "units"),
    "closer studs in one wall": (
        bungalow, lambda e: e["partition"].update(stud_spacing="300 mm"), "bathroom",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_in_one_room_renumbers_no_other(name: str) -> None:
    house, edit, room = EDITS[name]
    before = house()
    after = copy.deepcopy(before)
    edit(after["entities"])
    after["entities"] = {
        key: entity for key, entity in after["entities"].items()
        if entity.get("kind") != "inspection"
    }  # fmt: skip
    one, other = by_key(build(before)), by_key(build(after))
    kept = [key for key in one if key in other and room not in key]
    assert len(kept) > 20
    assert [one[key] for key in kept] == [other[key] for key in kept]


def test_a_new_window_renumbers_nothing_even_in_its_own_wall() -> None:
    plain = ranch()
    cut = ranch()
    cut["entities"]["window"] = {
        "kind": "opening", "room": "den", "side": "n1", "type": "window", "along": 1.2,
        "width": 0.6,
    }  # fmt: skip
    one, other = by_key(build(plain)), by_key(build(cut))
    shared = [key for key in one if key in other]
    assert [one[key] for key in shared] == [other[key] for key in shared]
    pieces = {key: label for key, label in other.items() if key.endswith(("sill", "head"))}
    assert pieces
    for key, label in pieces.items():
        whole = key.rsplit("/", 1)[0]
        assert label[:-1] == one[whole]
        assert label[-1] == {"below-sill": "s", "above-head": "h"}[key.rsplit("/", 1)[1]]


def test_neighbouring_bays_have_neighbouring_numbers() -> None:
    labels = by_key(build(bungalow()))
    numbers = [int(labels[f"ground/kitchen/joist-bay/{n}"][1:]) for n in range(9)]
    assert numbers == list(range(numbers[0], numbers[0] + 9))


def test_a_new_owner_moves_at_most_those_that_it_runs_into() -> None:
    def owners(number: int) -> dict[str, list[tuple[int, str]]]:
        return {f"room{n}/n1": [(i, "") for i in range(8)] for n in range(number)}

    before, after = _placed("W", 10, owners(20), set()), _placed("W", 10, owners(21), set())
    moved = [owner for owner in before if before[owner] != after[owner]]
    assert len(moved) <= 2
    texts = [text for ones in after.values() for text in ones]
    assert len(set(texts)) == len(texts)


def test_labels_stay_short() -> None:
    for house in (bungalow, semi, ranch):
        graph = build(house())
        hidden = [label for v, label in enumerate(graph.labels) if graph.hidden[v]]
        assert max(map(len, hidden)) <= 5

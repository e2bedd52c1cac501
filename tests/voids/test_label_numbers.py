"""Labels that nobody kept: an edit in one room still renumbers no bay of another."""

from __future__ import annotations

import copy

import pytest
from test_labels import EDITS, by_key

from houses import as_job, bungalow, ranch

ROOMS = {
    "a window in the hall": "hall",
    "the dining room longer": "dining_room",
    "the bath taken out": "bath",
    "the units shorter": "units",
    "closer studs in one wall": "bathroom",
}


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_in_one_room_renumbers_no_other(name: str) -> None:
    house, edit = EDITS[name]
    before = house()
    after = copy.deepcopy(before)
    edit(after["entities"])
    after["entities"] = {
        key: entity for key, entity in after["entities"].items()
        if entity.get("kind") != "inspection"
    }  # fmt: skip
    one, other = by_key(as_job(before)), by_key(as_job(after))
    kept = [key for key in one if key in other and ROOMS[name] not in key]
    assert len(kept) > 20
    assert [one[key] for key in kept] == [other[key] for key in kept]


def test_a_new_window_renumbers_no_whole_bay_even_in_its_own_wall() -> None:
    cut = ranch()
    cut["entities"]["window"] = {
        "kind": "opening", "room": "den", "side": "n1", "type": "window", "along": 1.2,
        "width": 0.6,
    }  # fmt: skip
    one, other = by_key(as_job(ranch())), by_key(as_job(cut))
    shared = [key for key in one if key in other]
    assert any(key.endswith("above-head") for key in other)
    assert [one[key] for key in shared] == [other[key] for key in shared]


def test_a_new_room_moves_at_most_those_that_it_runs_into() -> None:
    before = by_key(as_job(ranch()))
    moved = []
    for name in ("attic", "cellar", "larder", "office", "pantry", "porch", "study", "utility"):
        document = ranch()
        document["entities"][name] = {
            "kind": "room", "name": name, "storey": "main",
            "polygon": [[10, 0], [13, 0], [13, 3], [10, 3]],
        }  # fmt: skip
        after = by_key(as_job(document))
        assert len(set(after.values())) == len(after)
        moved += [key for key, label in before.items() if after[key] != label]
    # Eight rooms with four walls and a floor each; whoever counted in order would move all.
    assert len(moved) < 0.15 * 8 * len(before)


def test_a_label_that_was_given_is_kept_and_given_to_no_other() -> None:
    document = bungalow()
    fresh = by_key(as_job(document))
    taken = fresh["ground/kitchen/joist-bay/4"]
    document["entities"]["pencil"] = {
        "kind": "labels",
        "given": {"bathroom/w1/bay/5": "W2", "ground/kitchen/joist-bay/3": taken},
    }
    kept = by_key(as_job(document))
    assert kept["bathroom/w1/bay/5"] == "W2"
    assert kept["ground/kitchen/joist-bay/3"] == taken
    assert len(set(kept.values())) == len(kept)
    # Nothing else moves, but what ran into the one that was given.
    moved = {key for key in fresh if kept[key] != fresh[key]}
    assert moved <= {"bathroom/w1/bay/5"} | {f"ground/kitchen/joist-bay/{n}" for n in range(9)}

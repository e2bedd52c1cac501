"""Both sides of what counts as open, as alike, as a nest and as quiet when the house is closed."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import msgspec
import numpy as np
import pytest

from sealing.test_lists import _plain, _three
from wainscot.job import Place
from wainscot.plan.model import Entry
from wainscot.sealing import Remaining, Seal, SealList, isolation, left_of, order_of, rows_of
from wainscot.sealing.isolation import likely_nests
from wainscot.sealing.order import used_ways
from wainscot.sealing.ways import BOTH, entry_grades

GNAWED = ("if they gnaw",)


def _entry(size: float | None, basis: str, material: str = "wood") -> Entry:
    given = {"size": size, "size_basis": basis, "material": material}
    return cast(Entry, SimpleNamespace(place=Place(), **given))


@pytest.mark.parametrize(
    ("size", "basis", "grades"),
    [
        (None, "seen", BOTH),
        (0.010, "measured", BOTH),
        (0.0099, "measured", GNAWED),
        (0.0071, "seen", BOTH),
        (0.0069, "seen", GNAWED),
        (0.0, "measured", ()),
    ],
)
def test_a_hole_is_open_from_its_threshold_on_if_estimated_from_seven_tenths(
    size: float | None, basis: str, grades: tuple[str, ...]
) -> None:
    assert entry_grades(_entry(size, basis), 0.010) == grades
    # Nobody gnaws through brick; a hole that is open as built stays so in any material.
    assert entry_grades(_entry(size, basis, "brick"), 0.010) == (BOTH if grades == BOTH else ())


@pytest.mark.parametrize(("chance", "found"), [(1 / 3, ("v",)), (0.333, ())])
def test_a_void_is_parted_as_a_nest_from_one_in_three_on(
    chance: float, found: tuple[str, ...]
) -> None:
    def void(*, hidden: bool) -> Any:
        return SimpleNamespace(id="v", hidden=hidden, nest=chance)

    assert likely_nests([void(hidden=True)]) == found
    assert likely_nests([void(hidden=False)]) == ()


def test_where_no_passage_joins_them_there_is_nothing_to_part() -> None:
    apart = [one for one in _plain() if one.key not in ("hole", "arch")]
    found = isolation(_three(), apart, np.array([True, False, False]),
                      np.array([False, False, True]))  # fmt: skip
    assert (found.possible, found.seals, found.hours) == (True, (), 0.0)
    assert "nothing to part" in found.statement


@pytest.mark.parametrize(
    ("nest", "places", "statement"),
    [
        (0, [2], "1 seal parts them; the animals' own way out stays open"),
        (1, [0, 2], "2 seals would part them AND SHUT THE ANIMALS IN"),
    ],
)
def test_how_many_seals_part_them_is_said(nest: int, places: list[int], statement: str) -> None:
    nodes = np.arange(3)
    found = isolation(_three(), _plain(), nodes == nest, np.isin(nodes, places))
    assert found.statement.startswith(statement)


def test_a_passage_that_opens_only_if_gnawed_parts_nobody_today() -> None:
    later = [msgspec.structs.replace(one, grades=GNAWED) if one.key == "hole" else one
             for one in _plain()]  # fmt: skip
    found = isolation(_three(), later, np.array([True, False, False]),
                      np.array([False, False, True]))  # fmt: skip
    assert found.seals == ()


def test_hours_of_the_parting_are_those_of_its_seals() -> None:
    found = isolation(_three(), _plain(), np.array([False, True, False]),
                      np.array([True, False, True]))  # fmt: skip
    assert found.hours == pytest.approx(sum(one.hours for one in found.seals))
    assert found.hours > 0
    assert [len(found.nests), len(found.places)] == [1, 2]


# The order.


def _seals(*keys: str, sort: str = "entry point") -> SealList:
    some = tuple(Seal(key, key, cast(Any, sort), 1, 1.0, "", "mortar") for key in keys)
    return SealList("norway rat", "as built", some, float(len(keys)), (), "")


@pytest.mark.parametrize(("in_use", "waits"), [(0.049, False), (0.05, True)])
def test_from_one_in_twenty_on_the_last_way_in_waits_for_the_traps(
    in_use: float, waits: bool
) -> None:
    steps = order_of(_seals("drain", "door"), used=frozenset({"drain"}), in_use=in_use)
    assert [one.phase for one in steps if one.seals] == ["before the last", *["last"] * waits]
    assert ("use stay open" in steps[0].words) == waits


def test_with_everything_closed_traps_are_set_inside() -> None:
    steps = order_of(_seals(), in_use=0.9)
    assert [one.phase for one in steps] == ["trap", "watch"]
    assert "every drawn way in is closed" in steps[0].words
    # A way that is not on the list keeps none of those on it open for itself.
    assert order_of(_seals("door"), used=frozenset({"vent"}), in_use=0.9)[-2].seals == ("door",)


def test_ways_used_now_are_known_by_their_seals() -> None:
    def entry(key: str, sort: str, now: float) -> Any:
        return SimpleNamespace(id=key, sort=sort, now=now)

    assert used_ways([
        entry("drain", "entry point", 0.05), entry("vent", "entry point", 0.049),
        entry("unknown: outside, north side", "unknown", 0.5),
    ]) == {"drain", "edge/outside, north side"}  # fmt: skip


# Rows and letters.


def _one(key: str, **more: Any) -> Seal:
    given: dict[str, Any] = {
        "words": f"gap, between {key} and hall", "sort": "passage", "places": 1, "hours": 0.5,
        "reach": "", "material": "mortar",
    }  # fmt: skip
    return Seal(key, **(given | more))


def test_alike_seals_are_one_row_and_add_up() -> None:
    (row,) = rows_of([[_one("a", area=(0.1, 0.2)), _one("b", area=(0.3, 0.4), places=2)]])
    assert (row.words, row.keys, row.places, row.hours) == ("gap", ("a", "b"), 3, (1.0,))
    assert row.area == pytest.approx((0.4, 0.6))


@pytest.mark.parametrize(
    "other", [{"material": "mesh 6 mm"}, {"faces": 2}, {"note": "keep the vent"}, {"hours": 0.6}]
)
def test_a_seal_of_another_material_side_note_or_length_is_a_row_of_its_own(
    other: dict[str, Any],
) -> None:
    rows = rows_of([[_one("a"), _one("b", **other)]])
    assert [row.keys for row in rows] == [("a",), ("b",)]
    # A row of one says between what it lies.
    assert rows[0].words == "gap, between a and hall"
    for name, value in other.items():
        assert getattr(rows[1], name) == ((value,) if name == "hours" else value)


def test_a_seal_that_one_list_leaves_has_no_hours_there_and_most_places_speak() -> None:
    lists = [[_one("a", places=1)], [_one("a", places=4, words="edge")], []]
    (row,) = rows_of(lists)
    assert (row.hours, row.places, row.words) == ((0.5, 0.5, 0.0), 4, "edge")


def test_ways_in_come_first_then_edges_then_passages() -> None:
    rows = rows_of([[_one("p"), _one("e", sort="edge to go along", words="e"),
                     _one("d", sort="entry point", words="d")]])  # fmt: skip
    assert [(row.number, row.keys) for row in rows] == [(1, ("d",)), (2, ("e",)), (3, ("p",))]


def test_a_way_that_two_lists_leave_open_has_one_letter_and_the_greater_count() -> None:
    def left(count: int, why: str = "declined", words: str = "edge: ground") -> Remaining:
        return Remaining(words, why, ("loft",) * count, count)

    def of(*remaining: Remaining) -> SealList:
        return SealList("norway rat", "as built", (), 0.0, remaining, "")

    found = left_of([of(left(1)), of(left(2), left(1, "must stay open", "flue"))])
    assert [(one.letter, one.words, one.lists, one.count) for one in found] == [
        ("a", "ground", (True, True), 2), ("b", "flue", (False, True), 1)]  # fmt: skip

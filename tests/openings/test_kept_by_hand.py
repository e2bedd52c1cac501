"""What counts as touching a kept thing: each bound by hand, on a room made of numbers only."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, Literal, cast

import msgspec
import pytest
from row import graph, opening

from wainscot.access import CutAt
from wainscot.job import Place
from wainscot.openings.kept import touching
from wainscot.plan.model import Plan
from wainscot.plan.side import Side

# Four metres of wall facing north, from x = 1 to x = 5; its left corner is the one at x = 1.
NORTH = Side("room", "n1", "n", 3.0, 1.0, 5.0)
# One facing south, whose left corner is the one at x = 5.
SOUTH = Side("room", "s1", "s", 0.0, 1.0, 5.0)
WALLS = [SimpleNamespace(id="room/n1", facing="", facing_side=""),
         SimpleNamespace(id="hall/n9", facing="room", facing_side="s1")]  # fmt: skip


def plan(*names: str, place: Place) -> Plan:
    """Return a plan of one room, two walls and a bath, with kept things at a place."""
    sides = {"n1": NORTH, "s1": SOUTH}
    room = SimpleNamespace(id="room", side=lambda name: sides.get(name))
    return cast(Plan, SimpleNamespace(
        kept=[SimpleNamespace(name=name, place=place) for name in names], rooms=[room], walls=WALLS,
        fixtures=[SimpleNamespace(id="bath")], storeys=[],
        side_key=lambda of: {"door": "room/n1"}.get(of, of),
    ))  # fmt: skip


def cut(
    low: float = 2.0, high: float = 3.0, *, part: Literal["wall", "floor", "ceiling"] = "wall",
    side: str = "room/n1", room: str = "room",
) -> CutAt:  # fmt: skip
    return CutAt(part, room, side, ((low, 3.0), (high, 3.0)), 0.5, 1.0, 0.1, 0.0125)


def touched(place: Place, *cuts: CutAt, reached: int = 1, name: str = "cut/1") -> bool:
    one = msgspec.structs.replace(opening(name, reached), cuts=cuts)
    return 0 in touching([one], plan("clock", place=place), HOUSE)


HOUSE = msgspec.structs.replace(graph(), owners=("room", "bath", *("room",) * 5))


def test_names_stand_with_the_openings_that_touch_them() -> None:
    each = [(cut(room="hall", side="x"), cut()), (), (cut(),)]
    ways = [msgspec.structs.replace(opening(f"cut/{n}", 1), cuts=cuts)
            for n, cuts in enumerate(each)]  # fmt: skip
    wall = Place(of="room/n1")
    assert touching(ways, plan("clock", "tiles", place=wall), HOUSE) == {
        0: ("clock", "tiles"), 2: ("clock", "tiles")}  # fmt: skip
    assert touching(ways, plan(place=wall), HOUSE) == {}
    assert touching([], plan("clock", place=wall), HOUSE) == {}


def test_a_cut_touches_the_wall_that_it_lies_in_from_that_room_only() -> None:
    for of in ("room/n1", "door"):
        wall = Place(of=of)
        assert touched(wall, cut())
        assert not touched(wall, cut(room="hall"))
        assert not touched(wall, cut(part="floor"))
        assert not touched(wall, cut(side="room/s1"))
    # The south side is the far face of a wall that the hall owns.
    assert touched(Place(of="room/s1"), cut(side="hall/n9"))
    assert not touched(Place(of="room/s1"), cut(side="room/n1"))
    for nothing in ("room/", "room/e7", "attic/n1", "gone"):
        assert not touched(Place(of=nothing), cut())


# Kept from 1 m to 1.5 m from the left corner: from x = 2 to x = 2.5, with 0.3 m around.
@pytest.mark.parametrize(
    ("low", "high", "near"),
    [(0.0, 1.69, False), (0.0, 1.71, True), (2.1, 2.2, True), (2.79, 4.0, True),
     (2.81, 4.0, False), (4.0, 2.79, True), (1.69, 0.0, False), (0.0, 9.0, True)],
)  # fmt: skip
def test_a_kept_stretch_is_touched_from_thirty_centimetres_off(
    low: float, high: float, near: bool
) -> None:
    assert touched(Place(of="room/n1", along=1.0, extent=0.5), cut(low, high)) == near
    # A hand's breadth with no length: at x = 2.
    point = Place(of="room/n1", along=1.0)
    assert touched(point, cut(1.0, 1.69)) is False
    assert touched(point, cut(1.0, 1.71)) is True
    assert touched(point, cut(2.31, 4.0)) is False
    # Facing south the left corner is at x = 5: 2.5 m to 3 m from it is the same stretch.
    other = Place(of="room/s1", along=2.5, extent=0.5)
    assert touched(other, cut(low, high, side="hall/n9")) == near


def test_a_kept_fixture_is_touched_by_taking_it_off_not_from_below() -> None:
    bath, floor = Place(of="bath"), cut(part="floor", side="")
    assert touched(bath)  # taken off: nothing is cut
    assert touched(bath, cut())
    assert touched(bath, floor, cut())
    assert not touched(bath, floor)
    assert not touched(bath, floor, floor)
    assert not touched(bath, cut(), reached=2)
    # Entered through it, whatever else is reached from there.
    assert touched(bath, floor, reached=2, name="enter/under|bath")
    assert not touched(bath, floor, reached=2, name="enter/under|shower")


def test_a_kept_room_is_touched_by_any_cut_in_it_or_in_the_part_that_is_named() -> None:
    floor = cut(part="floor", side="")
    for part, one, near in (
        ("", cut(), True), ("", floor, True), ("floor", floor, True), ("floor", cut(), False),
        ("ceiling", floor, False), ("wall", cut(), True), ("", cut(room="hall"), False),
        ("floor", cut(part="floor", room="hall"), False),
    ):  # fmt: skip
        assert touched(Place(of="room", part=cast(Any, part)), one) == near
    assert touched(Place(of="room", part="floor"), cut(), floor)
    assert not touched(Place(of="room"))

"""Openings by the place that they are made from: what one crew sheets off, opens and cleans.

Limits: a void that two places lay open is cleaned from the upper one.
"""

from __future__ import annotations

import msgspec

from wainscot.access import Access
from wainscot.access.reaching import is_reached
from wainscot.containment import Containment, contain, work_area
from wainscot.programme.model import Given


class Group(msgspec.Struct, frozen=True):
    """Openings that are made from one room, or from one space that a body goes into."""

    key: str
    name: str
    room: str
    """Its id; empty where it is none that is drawn."""
    ways: tuple[Access, ...]
    voids: tuple[int, ...]
    contained: Containment | None
    level: int


def groups_of(given: Given) -> list[Group]:
    """Return the balanced openings by the place that they are made from, upper storeys first.

    Parameters
    ----------
    given : Given
        The answers of the steps above.
    """
    scope = given.scope
    rooms = {one.id: one for one in scope.plan.rooms}
    level = {one.id: one.level for one in scope.plan.storeys}
    by_id = {one.id: one for one in scope.offered}
    chosen = [by_id[key] for key in scope.choice.balanced.openings if key in by_id]
    placed: dict[str, list[Access]] = {}
    for one in chosen:
        entered = next((each.of for each in one.charges if each.kind == "enter"), "")
        placed.setdefault(one.room if one.room in rooms else entered or one.room, []).append(one)

    def height(key: str) -> int:
        if key in rooms:
            return level[rooms[key].storey]
        at = scope.graph.index().get(key)
        return level.get(scope.graph.storeys[at], 0) if at is not None else 0

    found, laid = [], set[int]()
    for key in sorted(placed, key=lambda each: -height(each)):
        ways = placed[key]
        open_now = {r.void for one in ways for r in one.reaches if is_reached(r.share)}
        voids = tuple(sorted(open_now - laid))
        laid |= open_now
        cut = key in rooms and any(one.disturbance in ("hole", "cut") for one in ways)
        found.append(Group(
            key or "elsewhere", _named(given, key), key if key in rooms else "", tuple(ways), voids,
            _contained(given, key) if cut else None, height(key),
        ))  # fmt: skip
    return found


def _named(given: Given, key: str) -> str:
    graph = given.scope.graph
    for room in given.scope.plan.rooms:
        if room.id == key:
            return room.name
    at = graph.index().get(key)
    return graph.words[at] if at is not None else key or "elsewhere"


def _contained(given: Given, room: str) -> Containment:
    known = given.work.containments if given.work is not None else ()
    found = next((one for one in known if one.work.rooms == (room,)), None)
    return found or contain(work_area(given.scope.plan, [room]))

"""Which sides of rooms face each other: two that do are the faces of one wall.

Limits: a stretch that ends within :data:`SMALL_END` of another wall belongs to that wall's end;
it holds no bay of its own.  Two sides that lean by more than :data:`MOST_LEAN` have no wall between
them, but one each.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec

from wainscot.plan.frame import to_frame
from wainscot.plan.model import Room, Side

THINNEST = 0.02
"""Rooms closer than this are drawn without a wall between them. [m]"""
THICKEST = 0.6
"""Rooms further apart than this have something undrawn between them. [m]"""
SMALL_END = 0.35
"""A rest of a side shorter than this beside a wall is that wall's own thickness. [m]"""
MIN_OVERLAP = 0.05
MOST_LEAN = 0.05
"""Sides that face each other to within this angle are the faces of one wall. [rad]"""


class Facing(msgspec.Struct, frozen=True):
    """A stretch of a side with the side beyond it, or with nothing drawn beyond it. [m]"""

    side: Side
    low: float
    high: float
    gap: float
    other: Side | None


def facings(rooms: Sequence[Room]) -> tuple[Facing, ...]:
    """Return every stretch of wall once, for rooms on one level.

    Parameters
    ----------
    rooms : sequence of Room
        Rooms of one level; they do not overlap.
    """
    sides = [side for room in rooms for side in room.sides]
    lookup = _Opposites(sides)
    found: list[Facing] = []
    for side in sides:
        covered: list[Facing] = []
        for gap, low, high, other in lookup.of(side):
            for free_low, free_high in _minus((low, high), [(f.low, f.high) for f in covered]):
                if free_high - free_low > MIN_OVERLAP:
                    covered.append(Facing(side, free_low, free_high, gap, other))
        found += [one for one in covered if one.other is not None and side.id < one.other.id]
        found += _edges(side, covered)
    return tuple(sorted(found, key=lambda one: (one.side.id, one.low)))


class _Opposites:
    """Which sides face a side: those of its own axes by look-up, leaning ones by trying."""

    def __init__(self, sides: Sequence[Side]) -> None:
        self.alike: dict[tuple[float, str, int], list[Side]] = {}
        for side in sides:
            self.alike.setdefault((side.turn, side.axis, side.outward), []).append(side)
        self.turns = sorted({side.turn for side in sides})
        self.sides = sides

    def of(self, side: Side) -> list[tuple[float, float, float, Side]]:
        """Return (gap, low, high, side) of the sides that this one faces, nearest first. [m]"""
        found = []
        for other in self.candidates(side):
            seen = _seen(side, other)
            if seen is not None and THINNEST - 1e-9 <= seen[0] <= THICKEST + 1e-9:
                found.append((*seen, other))
        return sorted(found, key=lambda one: (one[0], one[3].id))

    def candidates(self, side: Side) -> list[Side]:
        """Return the sides that may face this one: all that face it are among them."""
        found = list(self.alike.get((side.turn, side.axis, -side.outward), []))
        if len(self.turns) > 1:
            found += [other for other in self.sides if other.turn != side.turn]
        return found


def close_pairs(rooms: Sequence[Room]) -> list[tuple[Side, Side]]:
    """Return sides that face each other with no room for a wall between them."""
    sides = [side for room in rooms for side in room.sides]
    lookup = _Opposites(sides)
    found = []
    for one in sides:
        for other in lookup.candidates(one):
            if one.id < other.id and one.room != other.room:
                seen = _seen(one, other)
                if seen is not None and abs(seen[0]) < THINNEST:
                    found.append((one, other))
    return found


def _seen(side: Side, other: Side) -> tuple[float, float, float] | None:
    """Return (distance, low, high) of a side that faces this one, or None if it does not. [m]"""
    if other.turn == side.turn:
        if other.axis != side.axis or other.outward == side.outward:
            return None
        low, high, line = other.low, other.high, other.level_line
    else:
        (x, y), (u, v) = side.direction, other.direction
        if x * u + y * v > -math.cos(MOST_LEAN):
            return None
        ends = [to_frame(other.point(along), side.turn) for along in (0.0, other.length)]
        along, across = (0, 1) if side.axis == "x" else (1, 0)
        low, high = sorted((ends[0][along], ends[1][along]))
        line = (ends[0][across] + ends[1][across]) / 2
    low, high = max(low, side.low), min(high, side.high)
    if high - low <= MIN_OVERLAP:
        return None
    return side.outward * (line - side.level_line), low, high


def _edges(side: Side, covered: Sequence[Facing]) -> list[Facing]:
    rest = _minus((side.low, side.high), [(one.low, one.high) for one in covered])
    return [
        Facing(side, low, high, 0.0, None)
        for low, high in rest
        if not covered or high - low >= SMALL_END - 1e-9
    ]


def _minus(
    whole: tuple[float, float], taken: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    """Return what is left of an interval, from low to high."""
    left = []
    start = whole[0]
    for low, high in sorted(taken):
        if low > start:
            left.append((start, min(low, whole[1])))
        start = max(start, high)
    if start < whole[1]:
        left.append((start, whole[1]))
    return [one for one in left if one[1] - one[0] > 1e-9]

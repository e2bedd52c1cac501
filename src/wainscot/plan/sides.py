"""A room's outline: its straight sides, named so that people and files can point at them.

``n1`` is the first stretch that faces north, counted from the west; ``s1`` likewise; ``e1`` and
``w1`` are counted from the south.  A side at a slant takes the nearest of the four; one that faces
exactly between two (north-east) the first of them clockwise (north).

Limits: straight sides only; a bow is drawn as several.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec
import shapely

from wainscot.plan.frame import Point2, split, to_frame
from wainscot.plan.model import Normal, Side

TOLERANCE = 1e-6
"""Coordinates closer than this are the same. [m]"""

Points = Sequence[tuple[float, float]]


def anticlockwise(points: Points) -> tuple[tuple[float, float], ...]:
    """Return the outline anticlockwise without repeated or in-line corners. [m]

    Parameters
    ----------
    points : sequence of (float, float)
        Corners of a simple polygon, either way round. [m]
    """
    given = [(float(x), float(y)) for x, y in points]
    # Of two corners at one place both lie in line with their neighbours: one of them goes first.
    corners = [
        corner
        for previous, corner in zip(given[-1:] + given[:-1], given, strict=True)
        if math.dist(previous, corner) >= TOLERANCE
    ]
    if _twice_area(corners) < 0:
        corners.reverse()
    kept = [
        corner
        for previous, corner, following in zip(
            corners[-1:] + corners[:-1], corners, corners[1:] + corners[:1], strict=True
        )
        if abs(_cross(previous, corner, following)) > TOLERANCE**2
    ]
    first = kept.index(min(kept, key=lambda corner: (corner[1], corner[0])))
    return tuple(kept[first:] + kept[:first])


def is_simple(points: Points) -> bool:
    """Tell whether the outline has an area and does not cross itself.

    Parameters
    ----------
    points : sequence of (float, float)
        Corners. [m]
    """
    if len(points) < 3:
        return False
    polygon = shapely.Polygon(points)
    return bool(polygon.is_valid and polygon.area > 1e-4)


def sides(room: str, outline: Points) -> tuple[Side, ...]:
    """Return the sides of an anticlockwise outline, in the order of their names.

    Parameters
    ----------
    room : str
        Id of the room.
    outline : sequence of (float, float)
        Corners, anticlockwise. [m]
    """
    stretches: dict[Normal, list[tuple[tuple[float, ...], Side]]] = {
        "n": [], "e": [], "s": [], "w": []
    }  # fmt: skip
    for start, stop in zip(outline, [*outline[1:], outline[0]], strict=True):
        one = _side(room, start, stop)
        stretches[one.normal].append((_rank(one.normal, start, stop), one))
    return tuple(
        msgspec.structs.replace(one, name=f"{normal}{number}")
        for normal, ones in stretches.items()
        for number, (_, one) in enumerate(sorted(ones, key=lambda pair: pair[0]), start=1)
    )


def _side(room: str, start: Point2, stop: Point2) -> Side:
    """Return one side, still without its number."""
    (x0, y0), (x1, y1) = start, stop
    if abs(y0 - y1) < TOLERANCE:
        return Side(room, "", "s" if x1 > x0 else "n", y0, min(x0, x1), max(x0, x1))
    if abs(x0 - x1) < TOLERANCE:
        return Side(room, "", "e" if y1 > y0 else "w", x0, min(y0, y1), max(y0, y1))
    # Anticlockwise, the outside lies to the right of the way walked.
    turn, quarter = split(math.atan2(y1 - y0, x1 - x0))
    normal: Normal = _WALKED[quarter]
    ends = (to_frame(start, turn), to_frame(stop, turn))
    along, across = (0, 1) if normal in "ns" else (1, 0)
    line = (ends[0][across] + ends[1][across]) / 2
    low, high = sorted((ends[0][along], ends[1][along]))
    return Side(room, "", normal, line, low, high, turn)


_WALKED: tuple[Normal, Normal, Normal, Normal] = ("s", "e", "n", "w")
"""The quarter that a side faces, by the way walked: east, north, west, south."""


def _rank(normal: Normal, start: Point2, stop: Point2) -> tuple[float, ...]:
    """Return what sides facing one way are counted by: from the west, or from the south."""
    along = 0 if normal in "ns" else 1
    low, high = sorted((start[along], stop[along]))
    return (low, high, (start[1 - along] + stop[1 - along]) / 2)


def _twice_area(corners: Points) -> float:
    following = [*corners[1:], corners[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, following, strict=True))


def _cross(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])

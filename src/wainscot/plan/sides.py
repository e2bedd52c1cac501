"""A room's outline: its straight sides, named so that people and files can point at them.

``n1`` is the first stretch that faces north, counted from the west; ``s1`` likewise; ``e1`` and
``w1`` are counted from the south.  Limits: only right angles yet.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely

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
    corners = [(float(x), float(y)) for x, y in points]
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


def is_rectilinear(points: Points) -> bool:
    """Tell whether every stretch runs along x or along y.

    Parameters
    ----------
    points : sequence of (float, float)
        Corners. [m]
    """
    following = [*points[1:], points[0]]
    return all(
        abs(a[0] - b[0]) < TOLERANCE or abs(a[1] - b[1]) < TOLERANCE
        for a, b in zip(points, following, strict=True)
    )


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
    """Return the sides of an anticlockwise rectilinear outline, in the order of their names.

    Parameters
    ----------
    room : str
        Id of the room.
    outline : sequence of (float, float)
        Corners, anticlockwise. [m]
    """
    stretches: dict[Normal, list[tuple[float, float, float]]] = {"n": [], "e": [], "s": [], "w": []}
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if abs(y0 - y1) < TOLERANCE:
            stretches["s" if x1 > x0 else "n"].append((min(x0, x1), max(x0, x1), y0))
        else:
            stretches["e" if y1 > y0 else "w"].append((min(y0, y1), max(y0, y1), x0))
    return tuple(
        Side(room, f"{normal}{number}", normal, line, low, high)
        for normal, ones in stretches.items()
        for number, (low, high, line) in enumerate(sorted(ones), start=1)
    )


def _twice_area(corners: Points) -> float:
    following = [*corners[1:], corners[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, following, strict=True))


def _cross(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])

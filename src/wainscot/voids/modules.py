"""Straight bays in closed form, and outlines cut into rectangles.

>>> [(n, round(low, 3), round(high, 3)) for n, low, high in modules(0.0, 1.0, 0.0, 0.4, 0.04)]
[(0, 0.04, 0.38), (1, 0.42, 0.78), (2, 0.82, 0.96)]

Members stand at ``first + n * spacing`` (centres), and one closes each end; bay n lies between
members n and n + 1.  Limits: what is narrower than :data:`NARROWEST` is no bay.
"""

from __future__ import annotations

import math
from itertools import pairwise

import shapely

from wainscot.plan.frame import Rectangle

NARROWEST = 0.06
"""Clear width below which a space between members is left out. [m]"""


def modules(
    low: float,
    high: float,
    first: float,
    spacing: float,
    thickness: float,
    closed: tuple[bool, bool] = (True, True),
) -> list[tuple[int, float, float]]:
    """Return (index, start, end) of every clear bay between members. [m]

    Parameters
    ----------
    low, high : float
        Ends of the wall or floor; a member closes each. [m]
    first : float
        Centre of member 0; the index counts from it, so bays before it are negative. [m]
    spacing : float
        Distance of the centres of members. [m]
    thickness : float
        Thickness of a member. [m]
    closed : (bool, bool)
        Whether a member closes the low and the high end.
    """
    bays = []
    half = thickness / 2
    least, most = low + thickness * closed[0], high - thickness * closed[1]
    start = math.floor((low - first) / spacing)
    stop = math.ceil((high - first) / spacing)
    for n in range(start, stop):
        left = max(first + n * spacing + half, least)
        right = min(first + (n + 1) * spacing - half, most)
        if right - left >= NARROWEST - 1e-9:
            bays.append((n, left, right))
    return bays


def rectangles(shape: shapely.Geometry) -> list[Rectangle]:
    """Return rectangles that fill a rectilinear shape, from west to east.

    Parameters
    ----------
    shape : shapely.Geometry
        Polygon or multipolygon with sides along x and y; anything else in it is left out. [m]
    """
    found: list[Rectangle] = []
    for polygon in polygons(shape):
        if abs(polygon.area - polygon.envelope.area) < 1e-9:
            found.append(polygon.bounds)
            continue
        found += _slabs(polygon)
    return sorted(found)


def _slabs(polygon: shapely.Polygon) -> list[Rectangle]:
    """Cut an outline at every corner's x and join slabs that go on unchanged."""
    _, south, _, north = polygon.bounds
    cuts = sorted({round(x, 9) for x, _ in shapely.get_coordinates(polygon).tolist()})
    open_slabs: dict[tuple[float, float], Rectangle] = {}
    found: list[Rectangle] = []
    for left, right in pairwise(cuts):
        if right - left < 1e-6:
            continue
        middle = (left + right) / 2
        line = shapely.LineString([(middle, south - 1), (middle, north + 1)])
        spans = {
            (round(part.bounds[1], 9), round(part.bounds[3], 9))
            for part in getattr(line & polygon, "geoms", [line & polygon])
            if not part.is_empty
        }
        found += [open_slabs.pop(span) for span in list(open_slabs) if span not in spans]
        for span in spans:
            begun = open_slabs[span][0] if span in open_slabs else left
            open_slabs[span] = (begun, span[0], right, span[1])
    return found + list(open_slabs.values())


def polygons(shape: shapely.Geometry) -> list[shapely.Polygon]:
    """Return the polygons of a shape from the south-west up, without slivers.

    Parameters
    ----------
    shape : shapely.Geometry
        Any shape; points and lines in it are left out. [m]
    """
    parts = getattr(shape, "geoms", [shape])
    kept = [part for part in parts if isinstance(part, shapely.Polygon) and part.area > 1e-6]
    return sorted(kept, key=lambda part: (round(part.bounds[0], 6), round(part.bounds[1], 6)))


def area(parts: list[Rectangle] | tuple[Rectangle, ...]) -> float:
    """Return the area of rectangles that do not overlap. [m2]

    Parameters
    ----------
    parts : sequence of (float, float, float, float)
        West, south, east, north of each. [m]
    """
    return sum((east - west) * (north - south) for west, south, east, north in parts)

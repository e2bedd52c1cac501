"""What a sheet needs of geometry beyond what access and voids keep: clipping, and turned frames."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator

import msgspec
import shapely

from wainscot.drawing import Shape
from wainscot.drawing.model import Layer, Point
from wainscot.plan.frame import to_frame
from wainscot.plan.model import ServiceRun

Point3 = tuple[float, float, float]


class Frame(msgspec.Struct, frozen=True):
    """Axes on the plan with their origin at a datum."""

    origin: Point
    """Point of the house. [m]"""
    turn: float
    """Angle of the axes, anticlockwise. [rad]"""

    def local(self, point: Point) -> Point:
        """Return a point of the house in these axes. [m]"""
        return to_frame((point[0] - self.origin[0], point[1] - self.origin[1]), self.turn)

    def ring(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """Return points of the house in these axes. [m]"""
        return tuple(self.local(point) for point in points)

    @property
    def north(self) -> float:
        """Way north points in these axes. [rad]"""
        return math.pi / 2 - self.turn


def clipped(one: Point3, other: Point3, low: float, high: float) -> tuple[Point3, Point3] | None:
    """Return the piece of a line whose third coordinate lies between two values, or None.

    Parameters
    ----------
    one, other : (float, float, float)
        Its ends. [m]
    low, high : float
        Bounds of the third coordinate. [m]
    """
    rise = other[2] - one[2]
    if abs(rise) < 1e-12:
        return (one, other) if low <= one[2] <= high else None
    at = sorted(((low - one[2]) / rise, (high - one[2]) / rise))
    start, stop = max(0.0, at[0]), min(1.0, at[1])
    if start > stop:
        return None

    def point(t: float) -> Point3:
        x, y, z = (a + (b - a) * t for a, b in zip(one, other, strict=True))
        return x, y, z

    return point(start), point(stop)


def pieces(run: ServiceRun) -> Iterator[tuple[Point3, Point3]]:
    """Return the straight pieces of a run."""
    return itertools.pairwise(run.path)


def bounds(points: Iterable[Point]) -> tuple[float, float, float, float]:
    """Return west, south, east, north of points. [m]"""
    some = list(points)
    xs, ys = [x for x, _ in some], [y for _, y in some]
    return min(xs), min(ys), max(xs), max(ys)


def areas(layer: Layer, shape: shapely.Geometry) -> Iterator[Shape]:
    """Return the parts of an area as shapes, slivers left out."""
    for part in getattr(shape, "geoms", [shape]):
        if isinstance(part, shapely.Polygon) and part.area > 1e-4:
            yield Shape(
                layer,
                _ring(part.exterior),
                closed=True,
                holes=tuple(_ring(hole) for hole in part.interiors),
            )


def lines(layer: Layer, shape: shapely.Geometry, width: float = 0.0) -> Iterator[Shape]:
    """Return the parts of a line as shapes.

    Parameters
    ----------
    layer : Layer
        What it stands for.
    shape : geometry
        The line. [m]
    width : float
        True width of what it stands for. [m]
    """
    for part in getattr(shape, "geoms", [shape]):
        if isinstance(part, shapely.LineString | shapely.LinearRing) and part.length > 1e-3:
            yield Shape(layer, tuple((x, y) for x, y in part.coords), width=width)


def _ring(ring: shapely.LinearRing) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in list(ring.coords)[:-1])

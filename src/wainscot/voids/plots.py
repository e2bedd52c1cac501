"""A piece of floor plan: rectangles in axes of its own, or any outline where it has to be.

    plot = plot_of(shapely.Polygon(room.polygon), 0.0)
    plot.area, plot.polygon

Straight pieces stay rectangles, exact and quick to compare; what a slanted wall cuts keeps its true
outline besides the rectangle round it.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
import shapely

from wainscot.arrays import Floats
from wainscot.plan.frame import Point2, Rectangle, ring, to_world
from wainscot.voids.modules import area, polygons, rectangles

SQUARE = 1e-6
"""A side that leans by less than this over its length is taken as square. [m]"""


class Plot:
    """Some ground in plan: ``rectangles`` in axes turned by ``turn``, or ``shape`` in the house's.

    Parameters
    ----------
    parts : tuple of Rectangle
        Rectangles in its own axes; of an irregular one the rectangle round it. [m]
    turn : float
        Angle of those axes, anticlockwise. [rad]
    shape : shapely.Polygon or None
        The outline, where rectangles are not exact. [m]
    """

    def __init__(
        self, parts: tuple[Rectangle, ...], turn: float = 0.0, shape: shapely.Polygon | None = None
    ) -> None:
        self.rectangles = parts
        self.turn = turn
        self.shape = shape

    @cached_property
    def polygon(self) -> shapely.Geometry:
        """The outline in the house's axes. [m]"""
        if self.shape is not None:
            return self.shape
        if len(self.rectangles) == 1:
            return shapely.Polygon(ring(self.rectangles[0], self.turn))
        return shapely.union_all([shapely.Polygon(ring(one, self.turn)) for one in self.rectangles])

    @cached_property
    def area(self) -> float:
        """[m2]"""
        return area(self.rectangles) if self.shape is None else float(self.shape.area)

    @property
    def bounds(self) -> Rectangle:
        """Rectangle round it in its own axes. [m]"""
        return (
            min(one[0] for one in self.rectangles),
            min(one[1] for one in self.rectangles),
            max(one[2] for one in self.rectangles),
            max(one[3] for one in self.rectangles),
        )

    @property
    def centre(self) -> Point2:
        """Middle of the rectangle round it. [m]"""
        west, south, east, north = self.bounds
        return to_world(((west + east) / 2, (south + north) / 2), self.turn)

    @property
    def inside(self) -> Point2:
        """A point within it. [m]"""
        if self.shape is not None:
            point = self.shape.representative_point()
            return (point.x, point.y)
        west, south, east, north = self.rectangles[0]
        return to_world(((west + east) / 2, (south + north) / 2), self.turn)

    @property
    def outline(self) -> Floats:
        """Its corners, anticlockwise, one [n, 2] array; of several parts the largest. [m]"""
        if self.shape is None and len(self.rectangles) == 1:
            return np.array(ring(self.rectangles[0], self.turn), dtype=np.float64)
        largest = max(getattr(self.polygon, "geoms", [self.polygon]), key=lambda part: part.area)
        corners = shapely.get_coordinates(shapely.simplify(largest.exterior, 1e-9))[:-1]
        x, y = corners[:, 0], corners[:, 1]
        turned = float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) < 0
        return np.ascontiguousarray(corners[::-1] if turned else corners)


def rotated(shape: shapely.Geometry, turn: float) -> shapely.Geometry:
    """Return a shape of the house in turned axes; with a negative turn the way back. [m]

    Parameters
    ----------
    shape : shapely.Geometry
        Any shape. [m]
    turn : float
        Angle of the axes, anticlockwise. [rad]
    """
    if turn == 0.0:
        return shape
    cosine, sine = np.cos(turn), np.sin(turn)
    return shapely.transform(
        shape,
        lambda xy: np.column_stack(
            (cosine * xy[:, 0] + sine * xy[:, 1], cosine * xy[:, 1] - sine * xy[:, 0])
        ),
    )


def plot_of(shape: shapely.Geometry, turn: float) -> Plot:
    """Return a shape of the house as a plot in turned axes.

    Parameters
    ----------
    shape : shapely.Geometry
        Polygon or polygons; points and lines in it are left out. [m]
    turn : float
        Angle of the axes, anticlockwise. [rad]
    """
    own = rotated(shape, turn)
    if all(is_square(one) for one in polygons(own)):
        return Plot(tuple(rectangles(own)), turn)
    return Plot((own.bounds,), turn, shape)


def is_square(polygon: shapely.Polygon) -> bool:
    """Tell whether every side of a polygon runs along x or along y.

    Parameters
    ----------
    polygon : shapely.Polygon
        The polygon. [m]
    """
    corners = shapely.get_coordinates(polygon.exterior)
    steps = np.abs(np.diff(corners, axis=0))
    return bool(np.all(steps.min(axis=1) < SQUARE))

"""Turned axes: a slanted wall is measured along itself and across itself, like any other.

A wall's own axes are the house's axes turned by ``turn`` about the origin, at most an eighth of a
circle either way, so that what was drawn square keeps its numbers to the last bit.

>>> to_world((2.0, 1.0), 0.0)
(2.0, 1.0)
"""

from __future__ import annotations

import math

DIGITS = 9
"""Turns are rounded to so many decimals of a radian, so that parallel walls share their axes."""
EIGHTH = math.pi / 4
MARGIN = 0.002
"""What faces between two quarters to within this counts as facing exactly between. [rad]"""

Point2 = tuple[float, float]
Rectangle = tuple[float, float, float, float]
"""West, south, east, north, in some axes. [m]"""


def to_world(point: Point2, turn: float) -> Point2:
    """Return a point of turned axes in the house's own. [m]

    Parameters
    ----------
    point : (float, float)
        The point. [m]
    turn : float
        Angle of the axes, anticlockwise. [rad]
    """
    if turn == 0.0:
        return point
    cosine, sine = math.cos(turn), math.sin(turn)
    return (cosine * point[0] - sine * point[1], sine * point[0] + cosine * point[1])


def to_frame(point: Point2, turn: float) -> Point2:
    """Return a point of the house in turned axes. [m]

    Parameters
    ----------
    point : (float, float)
        The point. [m]
    turn : float
        Angle of the axes, anticlockwise. [rad]
    """
    return to_world(point, -turn)


def ring(rectangle: Rectangle, turn: float) -> tuple[Point2, Point2, Point2, Point2]:
    """Return the corners of a rectangle of turned axes in the house's own, anticlockwise. [m]

    Parameters
    ----------
    rectangle : (float, float, float, float)
        West, south, east, north in the turned axes. [m]
    turn : float
        Angle of the axes, anticlockwise. [rad]
    """
    west, south, east, north = rectangle
    low, right = to_world((west, south), turn), to_world((east, south), turn)
    return low, right, to_world((east, north), turn), to_world((west, north), turn)


def split(angle: float) -> tuple[float, int]:
    """Return (turn, quarter) of a direction: turned axes, and how many quarters on from their x.

    Parameters
    ----------
    angle : float
        Direction, anticlockwise from x. [rad]

    Returns
    -------
    (float, int)
        Turn from -pi/4 up to but without pi/4, rounded [rad]; quarter 0 to 3.
    """
    # The margin keeps the tape's error from renaming a wall at an eighth of a circle.
    quarter = math.floor((angle + EIGHTH + MARGIN) / (math.pi / 2))
    turn = round(angle - quarter * math.pi / 2, DIGITS)
    return (turn if turn else 0.0), quarter % 4

"""Where a cut is measured from.

From above and on walls it is a corner of the room.  From below no corner of the room is seen; a
pipe that passes the floor is, and so is a pin drilled down beside the cut.

The finished face above stands elsewhere than what is seen below, so that a figure taken from a wall
above is wrong under the floor; :func:`offsets` says by how much.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import msgspec
import shapely
from shapely.ops import nearest_points

from wainscot.drawing import BELOW
from wainscot.papers.opening_sheet.geometry import Frame
from wainscot.papers.opening_sheet.telling import distance, in_words, short
from wainscot.plan.frame import Point2, split
from wainscot.plan.model import Plan, Room, ServiceRun, Wall
from wainscot.plan.side import Side
from wainscot.sources import Cited

FARTHEST = 4.0
"""A riser farther from the cut than this is no datum. [m]"""
BLOCK = Cited(7.625 * 0.0254, "m", "common practice", "8 in block, 7-5/8 in thick", "memory")
CONCRETE = Cited(8 * 0.0254, "m", "common practice", "8 in of concrete", "memory")
WITH_PIN = Cited(
    0.125 * 0.0254, "m", "common practice", "1/8 in from a pin left in place", "common practice"
)
WITHOUT_PIN = Cited(
    0.5 * 0.0254, "m", "common practice",
    "two surveys at 1/4 in and two tapes at 1/8 in give 0.40 in: 1/2 in", "derived",
)  # fmt: skip


class Datum(msgspec.Struct, frozen=True):
    """A point to measure from, with its axes."""

    frame: Frame
    words: str
    """Fits after "from": ``the south-west corner of the kitchen``."""
    ways: tuple[tuple[str, str], tuple[str, str]]
    """For each axis, the words for a distance along it and against it."""

    @property
    def turn(self) -> float:
        """Angle of its axes. [rad]"""
        return self.frame.turn


def corner_of(room: Room, cut: shapely.Geometry) -> Datum:
    """Return the square corner of a room that lies nearest to a cut.

    Parameters
    ----------
    room : Room
        The room.
    cut : geometry
        In the axes of the house. [m]
    """
    points = list(room.polygon)
    found: list[tuple[bool, float, int]] = []
    for i, point in enumerate(points):
        before, after = points[i - 1], points[(i + 1) % len(points)]
        a = (before[0] - point[0], before[1] - point[1])
        b = (after[0] - point[0], after[1] - point[1])
        cosine = (a[0] * b[0] + a[1] * b[1]) / (math.hypot(*a) * math.hypot(*b))
        inner = b[0] * a[1] - b[1] * a[0] > 0
        square = abs(cosine) < 0.01 and inner
        away = round(float(shapely.distance(shapely.Point(point), cut)), 6)
        found.append((not square, away, i))
    _, _, best = min(found)
    point, after = points[best], points[(best + 1) % len(points)]
    turn, _ = split(math.atan2(after[1] - point[1], after[0] - point[0]))
    frame = Frame(point, turn)
    name = _corner_words(room, point)
    return Datum(frame, f"{name} of the {short(room.name, 40)}", _from_walls(room, point, frame))


def _corner_words(room: Room, point: Point2) -> str:
    winds = sorted({side.facing for side in _meeting(room, point)})
    order = ("north", "south", "east", "west")
    named = sorted(winds, key=lambda one: order.index(one) if one in order else 9)
    return f"the corner of {' and '.join(named)} walls" if named else "the corner"


def _meeting(room: Room, point: Point2) -> list[Side]:
    found = []
    for side in room.sides:
        ends = (side.point(0.0), side.point(side.length))
        if any(math.dist(end, point) < 2e-3 for end in ends):
            found.append(side)
    return found


def _from_walls(room: Room, point: Point2, frame: Frame) -> tuple[tuple[str, str], tuple[str, str]]:
    """Words for distances along both axes: which wall they are measured from."""
    words = ["across", "along"]
    for side in _meeting(room, point):
        way = side.direction
        across = (
            0 if abs(way[0] * math.cos(frame.turn) + way[1] * math.sin(frame.turn)) > 0.7 else 1
        )
        words[across] = f"from the {side.facing} wall"
    return ((words[0], words[0]), (words[1], words[1]))


_WINDS = ("east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east")


def _wind(angle: float) -> str:
    return _WINDS[round(angle / (math.pi / 4)) % 8]


def _by_wind(turn: float, what: str) -> tuple[tuple[str, str], tuple[str, str]]:
    def both(angle: float) -> tuple[str, str]:
        return f"{_wind(angle)} of {what}", f"{_wind(angle + math.pi)} of {what}"

    return both(turn), both(turn + math.pi / 2)


def riser_near(
    services: Sequence[ServiceRun], level: float, cut: shapely.Geometry, turn: float
) -> Datum | None:
    """Return the pipe nearest to a cut that passes a floor upright, or None.

    Parameters
    ----------
    services : sequence of ServiceRun
        What is drawn.
    level : float
        Height of the floor. [m]
    cut : geometry
        In the axes of the house. [m]
    turn : float
        Angle of the axes. [rad]
    """
    found = []
    for run in services:
        for one, other in pairwise(run.path):
            upright = math.dist(one[:2], other[:2]) < 0.01
            low, high = sorted((one[2], other[2]))
            if upright and low < level - 0.05 and high > level + 0.02:
                away = float(shapely.distance(shapely.Point(one[:2]), cut))
                found.append((away, run.id, one[:2], run.name or run.type))
    near = min(found, default=None)
    if near is None or near[0] > FARTHEST:
        return None
    words = f"the middle of the {short(near[3], 24)}"
    return Datum(Frame(near[2], turn), words, _by_wind(turn, "the pipe"))


def pin_beside(free: shapely.Geometry, cut: shapely.Geometry, turn: float) -> Datum | None:
    """Return where a pin can be drilled down next to a cut, or None.

    Parameters
    ----------
    free : geometry
        Where the floor is bare, between joists, clear of what is drawn. [m]
    cut : geometry
        In the axes of the house. [m]
    turn : float
        Angle of the axes. [rad]
    """
    if free.is_empty:
        return None
    point = nearest_points(free, cut)[0]
    return Datum(Frame((point.x, point.y), turn), "the pin", _by_wind(turn, "the pin"))


def offsets(plan: Plan, room: Room, frame: Frame, cut: shapely.Geometry) -> Iterator[str]:
    """Return, for the walls next to a cut, what a figure taken above is off by below the floor.

    Parameters
    ----------
    plan : Plan
        What was drawn.
    room : Room
        The room above.
    frame : Frame
        Axes of the sheet.
    cut : geometry
        In the axes of the house. [m]
    """
    near = sorted(
        plan.walls_of.get(room.id, ()),
        key=lambda wall: (float(shapely.distance(shapely.LinearRing(wall.ring), cut)), wall.id),
    )
    told: set[str] = set()
    for wall in near:
        wind = wall.side.facing if wall.side.room == room.id else _opposite(wall.side.facing)
        if wind not in told and len(told) < 2:
            told.add(wind)
            yield f"{wind} wall: {_offset(plan, wall)}"


def _opposite(wind: str) -> str:
    return _WINDS[(_WINDS.index(wind) + 4) % 8]


def _offset(plan: Plan, wall: Wall) -> str:
    def told(value: float) -> str:
        return in_words(*distance(value, plan.units, BELOW))

    if not wall.beyond:
        return "stands inside the house and is not seen from below: no datum"
    if wall.build != "stud":
        lining = wall.stud_depth if wall.lined else 0.0
        return (
            f"its finished face stands {told(wall.near_finish + lining)} before the bare masonry "
            "that is seen below: a figure from the finish reads so much longer below"
        )
    low, high = short_below(wall.thickness)
    return (
        f"finish and framing are {told(wall.thickness)} thick to the outer face "
        f"(finish {told(wall.near_finish)}); over a foundation 8 in thick, flush outside "
        f"(assumed: measure it), what is seen below stands {told(low)} to {told(high)} further "
        "in: a figure from the finish reads so much shorter below"
    )


def short_below(thickness: float) -> tuple[float, float]:
    """Return by how much a figure from a framed wall's finish reads short below, least and most.

    Framing flush with the outer face of a foundation of 8 in block, or of 8 in concrete.

    Parameters
    ----------
    thickness : float
        From the finished face inside to the framing's outer face. [m]

    Returns
    -------
    (float, float)
        [m]
    """
    return max(BLOCK.value - thickness, 0.0), max(CONCRETE.value - thickness, 0.0)

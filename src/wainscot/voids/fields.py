"""The floor of one room: how far it reaches under its walls, which way its joists run, where they
lap, and the bays between them.

A bay's index counts from the room's own south-west corner, in the axes of the joists.

Limits: one direction of joists a room; a lap is a line across the joists.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

import msgspec
import shapely

from wainscot.plan.frame import Point2, split, to_frame
from wainscot.plan.model import Axis, Plan, Room, Side, Storey
from wainscot.voids.modules import modules, polygons, rectangles
from wainscot.voids.plots import Plot, is_square, rotated
from wainscot.voids.rooms import room_turn

Segment = tuple[Point2, Point2]

FOLLOWS = 0.02
"""Joists told to within this of a wall's direction follow the wall. [rad]"""
SQUARE = 0.01
"""A room whose sides differ by no more than this is square. [m]"""
LEAST_BEARING = 0.3
"""A lap closer than this to the end of a bay is the end itself. [m]"""


class Joists(msgspec.Struct, frozen=True):
    """The way the joists of one room run: along ``axis`` of axes turned by ``turn``."""

    turn: float
    """[rad]"""
    axis: Axis


class Field(msgspec.Struct, frozen=True):
    """What the floor of one room covers: the room, and the walls that stand on its boards."""

    shape: Any
    """shapely.Polygon. [m]"""
    room: Room
    open_ways: tuple[Point2, ...]
    """Outward unit vectors where the floor runs on under a partition. [1]"""


def joists_of(room: Room, storey: Storey) -> Joists:
    """Return the way the joists run under a room."""
    run = storey.floor.joists_run
    if run == "x" or run == "y":
        return Joists(0.0, run)
    if not isinstance(run, str):
        turn, quarter = split(math.radians(run))
        walls = {side.turn for side in room.sides}
        turn = min(walls, key=lambda one: abs(one - turn)) if _along(turn, walls) else turn
        return Joists(turn, "y" if quarter % 2 else "x")
    turn = room_turn(room)
    west, south, east, north = rotated(shapely.Polygon(room.polygon), turn).bounds
    # A square room takes x; the margin keeps the tape's error from turning its joists.
    shorter: Axis = "x" if (east - west) - (north - south) <= SQUARE else "y"
    other: Axis = "y" if shorter == "x" else "x"
    return Joists(turn, shorter if run == "" else other)


def _along(turn: float, walls: set[float]) -> bool:
    """Tell whether a direction told in degrees is meant to be that of a wall."""
    return min(abs(one - turn) for one in walls) < FOLLOWS


def fields(plan: Plan) -> dict[str, Field]:
    """Return the floors of all rooms; where two would meet in a corner the first keeps it."""
    found: dict[str, Field] = {}
    for level in sorted({storey.level for storey in plan.storeys}):
        here = [room for room in plan.rooms if plan.storey(room.storey).level == level]
        mine = [_field(plan, room) for room in here]
        tree = shapely.STRtree([one.shape for one in mine])
        shapes: list[Any] = []
        for n, one in enumerate(mine):
            shape = one.shape
            for m in sorted(tree.query(shape).tolist()):
                if m < n and shape.intersection(shapes[m]).area > 1e-9:
                    shape = shape.difference(shapes[m])
            shapes.append(shape)
            found[one.room.id] = msgspec.structs.replace(one, shape=shape)
    return found


def strips(
    shape: shapely.Geometry,
    field: Field,
    joists: Joists,
    spacing: float,
    thickness: float,
    key: str,
    laps: Sequence[Segment] = (),
) -> Iterator[tuple[str, Plot]]:
    """Yield (id, plot) of the bays between joists over a shape.

    Parameters
    ----------
    shape : shapely.Geometry
        What they lie over. [m]
    field : Field
        The whole floor that the shape is a part of.
    joists : Joists
        The way they run.
    spacing, thickness : float
        From joist to joist, and of one joist. [m]
    key : str
        What the ids begin with.
    laps : sequence of Segment
        Lines that the joists lap over. [m]
    """
    own = rotated(shape, joists.turn)
    west, south, east, north = own.bounds
    along_x = joists.axis == "x"
    low, high = (south, north) if along_x else (west, east)
    room = rotated(shapely.Polygon(field.room.polygon), joists.turn).bounds
    way = (0.0, 1.0) if along_x else (1.0, 0.0)
    closed = (not _open(field, joists.turn, (-way[0], -way[1])), not _open(field, joists.turn, way))
    first = room[1 if along_x else 0]
    parts = polygons(own)
    whole = len(parts) == 1 and is_square(parts[0]) and len(parts[0].exterior.coords) == 5
    for index, start, end in modules(low, high, first, spacing, thickness, closed):
        strip = (west, start, east, end) if along_x else (start, south, end, north)
        pieces = [shapely.box(*strip)] if whole else polygons(own.intersection(shapely.box(*strip)))
        cut = [bit for piece in pieces for bit in _lapped(piece, joists, laps)]
        for number, part in enumerate(cut, 1):
            suffix = "" if number == 1 else f"/{number}"
            yield f"{key}/{index}{suffix}", _plot(part, joists.turn)


def _plot(own: shapely.Polygon, turn: float) -> Plot:
    """Return a polygon of turned axes as a plot."""
    if is_square(own):
        return Plot(tuple(rectangles(own)), turn)
    return Plot((own.bounds,), turn, rotated(own, -turn))


def _lapped(
    piece: shapely.Polygon, joists: Joists, laps: Sequence[Segment]
) -> Iterator[shapely.Polygon]:
    """Yield the parts of a bay between the lines that its joists lap over, from its low end."""
    west, south, east, north = piece.bounds
    on, off = (0, 1) if joists.axis == "x" else (1, 0)
    low, high = (west, east) if on == 0 else (south, north)
    middle = (south + north) / 2 if on == 0 else (west + east) / 2
    cuts = []
    for start, stop in laps:
        a, b = to_frame(start, joists.turn), to_frame(stop, joists.turn)
        if abs(b[on] - a[on]) > abs(b[off] - a[off]):
            continue
        if min(a[off], b[off]) - 1e-6 <= middle <= max(a[off], b[off]) + 1e-6:
            share = (middle - a[off]) / (b[off] - a[off])
            at = a[on] + share * (b[on] - a[on])
            if low + LEAST_BEARING < at < high - LEAST_BEARING:
                cuts.append(at)
    edges = [low, *sorted(cuts), high]
    for start_at, stop_at in pairwise(edges):
        if not cuts:
            yield piece
        else:
            box = (start_at, south, stop_at, north) if on == 0 else (west, start_at, east, stop_at)
            yield from polygons(piece.intersection(shapely.box(*box)))


def _open(field: Field, turn: float, way: Point2) -> bool:
    """Tell whether the floor runs on towards a direction of turned axes."""
    return any(
        own[0] * way[0] + own[1] * way[1] > 0.9
        for own in (to_frame(one, turn) for one in field.open_ways)
    )


def _field(plan: Plan, room: Room) -> Field:
    """Return a room's floor, carried on under the stud walls that it owns.

    The floor runs through under a partition; the room whose side owns the wall gets that strip.
    """
    sides = {side.name: side for side in room.sides}
    reaches: list[tuple[str, float, float, float]] = []
    through: list[Point2] = []
    for wall in plan.walls_of.get(room.id, ()):
        if wall.side.room == room.id:
            reach = wall.thickness if wall.facing else wall.near_finish + wall.stud_depth
            carried = reach if wall.build == "stud" or wall.lined else 0.0
            reaches.append((wall.side.name, wall.low, wall.high, carried))
            if wall.facing and wall.build == "stud":
                through.append(wall.side.direction)
        if wall.facing == room.id:
            own = sides[wall.facing_side]
            ends = sorted(own.on_axis(one) for one in (wall.ring[0], wall.ring[2]))
            low, high = (wall.low, wall.high) if own.turn == wall.side.turn else ends
            reaches.append((wall.facing_side, low, high, 0.0))
    grow = {name: max(one[3] for one in reaches if one[0] == name) for name, *_ in reaches}
    shape = shapely.Polygon(_moved(room, grow))
    for name, low, high, reach in reaches:
        if grow[name] - reach > 1e-6:
            beyond = sides[name].ring(low, high, reach, grow[name])
            shape = shape.difference(shapely.Polygon(beyond))
    return Field(shape, room, tuple(through))


def _moved(room: Room, grow: Mapping[str, float]) -> list[Point2]:
    """Return the outline with each side moved outwards by its own distance."""
    ring = room.polygon
    out = []
    for n, corner in enumerate(ring):
        before = _side_between(room, ring[n - 1], corner)
        after = _side_between(room, corner, ring[(n + 1) % len(ring)])
        out.append(_corner(corner, before, after, grow))
    return out


def _corner(corner: Point2, one: Side, other: Side, grow: Mapping[str, float]) -> Point2:
    """Return a corner where both of its sides have moved."""
    (a, b), (c, d) = one.direction, other.direction
    first, second = grow.get(one.name, 0.0), grow.get(other.name, 0.0)
    det = a * d - b * c
    if abs(a * c + b * d) < 1e-9:
        return (corner[0] + a * first + c * second, corner[1] + b * first + d * second)
    if abs(det) < 0.1:
        # Nearly in line: no crossing to speak of.
        more = max(first, second)
        return (corner[0] + a * more, corner[1] + b * more)
    return (
        corner[0] + (first * d - second * b) / det,
        corner[1] + (second * a - first * c) / det,
    )


def _side_between(room: Room, start: Point2, stop: Point2) -> Side:
    """Return the side that runs from one corner to the next."""
    middle = ((start[0] + stop[0]) / 2, (start[1] + stop[1]) / 2)

    def off(side: Side) -> float:
        x, y = side.point(side.length / 2)
        return abs(x - middle[0]) + abs(y - middle[1])

    return min(room.sides, key=off)

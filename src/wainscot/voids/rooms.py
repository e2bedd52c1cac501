"""Rooms are spaces too: an animal may cross a kitchen."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from wainscot.plan.model import Plan, Room, Storey, Wall
from wainscot.voids.plots import Plot, plot_of
from wainscot.voids.space import Space, Touch


def room_spaces(plan: Plan) -> list[Space]:
    """Return the rooms themselves.

    Parameters
    ----------
    plan : Plan
        The plan.
    """
    found = []
    for room in plan.rooms:
        storey = plan.storey(room.storey)
        plot = plot_of(shapely.Polygon(room.polygon), room_turn(room))
        top = storey.elevation + storey.height
        found.append(
            Space(
                key=room.id,
                form="room",
                kind="room",
                letter="",
                words=room.name,
                owner=room.id,
                storey=room.storey,
                plot=plot,
                bottom=storey.elevation,
                top=top,
                volume=plot.area * storey.height,
                touches=tuple(_touches(plan, room, storey, plot)),
            )
        )
    return found


def room_turn(room: Room) -> float:
    """Return the turn of the axes that most of a room's outline lies along. [rad]"""
    lengths: dict[float, float] = {}
    for side in room.sides:
        lengths[side.turn] = lengths.get(side.turn, 0.0) + side.length
    # The margin keeps the tape's error from choosing between equals.
    most = max(lengths.values()) - 0.01
    return min((turn for turn, size in lengths.items() if size >= most), key=lambda t: (abs(t), t))


def wall_point(wall: Wall, height: float) -> tuple[float, float, float]:
    """Return the middle of a wall in plan, at a height. [m]

    Parameters
    ----------
    wall : Wall
        The wall.
    height : float
        The height. [m]
    """
    x, y = (sum(corner[n] for corner in wall.ring) / 4 for n in (0, 1))
    return (x, y, height)


def _touches(plan: Plan, room: Room, storey: Storey, plot: Plot) -> Iterator[Touch]:
    for wall in plan.walls:
        if wall.side.room != room.id or not wall.beyond:
            continue
        side = f"{wall.side.facing} side"
        point = wall_point(wall, storey.elevation + 0.1)
        doors = sum(
            (one.high - one.low) * (one.head - one.sill)
            for one in wall.openings
            if one.type != "window"
        )
        face = (wall.high - wall.low) * storey.height - doors
        yield Touch(wall.beyond, "wall", side, max(face, 0.0), point)
        if doors:
            yield Touch(wall.beyond, "door", side, doors, point)
    if storey.floor.build == "slab":
        edge = plan.floor_edges.get(room.id)
        if edge is None and storey.floor.below != "storey":
            edge = "ground"
        if edge is not None:
            yield Touch(edge, "floor", "floor", plot.area, (*plot.inside, storey.elevation))

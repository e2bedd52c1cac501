"""Floors and ceilings become joist bays.

Under each room the floor is cut into bays across the joists (``ground/kitchen/joist-bay/4``), so
that a room drawn elsewhere renames nothing.  Where no room is drawn above a ceiling that has a
storey over it, the room gets ceiling bays of its own, at the edge of the plan.  Joists that lap
over a girder or over a bearing wall below end there: two bays, joined by the gaps beside the laps.

Limits: their lap at a wall between rooms is a passage, not a shared bay.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import msgspec
import shapely

from wainscot.plan import defaults
from wainscot.plan.model import Plan, Room, Storey
from wainscot.voids.fields import Field, Joists, Segment, fields, joists_of, strips
from wainscot.voids.large import LEAST_AREA, covered, crawl_spaces, lofts
from wainscot.voids.modules import polygons
from wainscot.voids.plots import Plot
from wainscot.voids.space import Space, Touch

AT_WALL = 0.06
"""A bay that ends this near to a wall at the edge of the plan bears on it. [m]"""


def floor_spaces(plan: Plan) -> list[Space]:
    """Return every void in floors and ceilings, below the lowest floor and under the roof.

    Parameters
    ----------
    plan : Plan
        The plan.
    """
    found: list[Space] = []
    grounds = fields(plan)
    for storey in plan.storeys:
        rooms = [room for room in plan.rooms if room.storey == storey.id]
        above = covered(plan, storey.level + 1)
        below = covered(plan, storey.level - 1)
        laps = (*storey.floor.girders, *_bearing_below(plan, storey))
        for room in rooms:
            field = grounds[room.id]
            if storey.floor.build == "joists":
                bays = _joist_bays(plan, room, storey, field, below, laps)
                found += [_at_edge_walls(plan, room, bay) for bay in bays]
            found += _ceiling_bays(plan, room, storey, field, above)
        if storey.floor.build == "joists" and storey.floor.below != "storey":
            found += crawl_spaces(plan, storey, rooms)
        if storey.ceiling == "loft":
            lofted = [room for room in rooms if room.id not in plan.ceiling_edges]
            found += lofts(plan, storey, lofted, above)
    return found


def _bearing_below(plan: Plan, storey: Storey) -> Iterator[Segment]:
    """Yield the middle lines of walls on the storey below that are known to bear."""
    levels = {one.id: one.level for one in plan.storeys}
    for wall in plan.walls:
        if wall.bearing == "yes" and levels[wall.storey] == storey.level - 1:
            ends = wall.side.ring(wall.low, wall.high, wall.thickness / 2, wall.thickness / 2)
            yield ends[0], ends[2]


def _joist_bays(
    plan: Plan,
    room: Room,
    storey: Storey,
    field: Field,
    below: shapely.Geometry,
    laps: tuple[Segment, ...],
) -> Iterator[Space]:
    floor = storey.floor
    top = storey.elevation - floor.board
    undrawn = field.shape.difference(below) if floor.below == "storey" else None
    if undrawn is not None and undrawn.area < 1e-3:
        undrawn = None
    edge = plan.floor_edges.get(room.id, "not drawn yet")
    stem = f"{storey.id}/{room.id}/joist-bay"
    joists = joists_of(room, storey)
    for key, plot in strips(field.shape, field, joists, floor.spacing, floor.thickness, stem, laps):
        touches: tuple[Touch, ...] = ()
        if floor.below == "storey" and (undrawn is not None or room.id in plan.floor_edges):
            free = plot.area if room.id in plan.floor_edges else _shared(undrawn, plot)
            if free > 1e-3:
                point = (*plot.inside, top - floor.depth)
                touches = (Touch(edge, "floor", "floor", free, point),)
        yield _bay(
            room, storey, key, plot, (top - floor.depth, top), joists, "joist bay",
            f"joist bay {{label}}, under the {room.name} floor", touches, floor.insulated,
        )  # fmt: skip


def _at_edge_walls(plan: Plan, room: Room, bay: Space) -> Space:
    """Return a bay with what lies beyond the solid or stud walls that its joists bear on."""
    found = []
    for wall in plan.walls_of.get(room.id, ()):
        if not wall.beyond or wall.side.room != room.id or wall.build == "cavity":
            continue
        (x, y), (u, v) = wall.side.direction, bay.direction
        if abs(x * u + y * v) > 0.7:
            shape = shapely.Polygon(wall.ring)
            if shapely.distance(bay.plot.polygon, shape) <= AT_WALL:
                west, south, east, north = bay.plot.bounds
                wide = (north - south) if bay.axis == "x" else (east - west)
                near = shapely.shortest_line(bay.plot.polygon, shape).coords[0]
                found.append(
                    Touch(
                        wall.beyond, "wall", f"{wall.side.facing} side",
                        wide * (bay.top - bay.bottom), (near[0], near[1], bay.bottom),
                    )
                )  # fmt: skip
    return msgspec.structs.replace(bay, touches=(*bay.touches, *found)) if found else bay


def _ceiling_bays(
    plan: Plan, room: Room, storey: Storey, field: Field, above: shapely.Geometry
) -> Iterator[Space]:
    """Yield bays over a ceiling that has neither a drawn room nor a loft over it."""
    if storey.ceiling == "loft" and room.id not in plan.ceiling_edges:
        return
    bare = field.shape.difference(above)
    if bare.area < LEAST_AREA - 1e-9:
        return
    roof = storey.ceiling == "roof"
    edge = plan.ceiling_edges.get(room.id, "outside" if roof else "not drawn yet")
    spacing = storey.floor.spacing or defaults.value("joist spacing", plan.country).value
    depth = defaults.value("joist depth", plan.country).value
    thickness = defaults.value("joist thickness", plan.country).value
    foot = storey.elevation + storey.height + storey.ceiling_board
    joists = joists_of(room, storey)
    stem = f"{storey.id}/{room.id}/ceiling-bay"
    for key, plot in strips(bare, field, joists, spacing, thickness, stem):
        through: Literal["roof", "ceiling"] = "roof" if roof else "ceiling"
        touch = Touch(edge, through, through, plot.area, (*plot.inside, foot + depth))
        kind = "rafter bay" if roof else "ceiling bay"
        yield _bay(
            room, storey, key, plot, (foot, foot + depth), joists, kind,
            f"{kind} {{label}}, over the {room.name} ceiling", (touch,), False,
        )  # fmt: skip


def _bay(
    room: Room,
    storey: Storey,
    key: str,
    plot: Plot,
    heights: tuple[float, float],
    joists: Joists,
    kind: str,
    words: str,
    touches: tuple[Touch, ...],
    insulated: bool,
) -> Space:
    return Space(
        key=key,
        form="joist bay",
        kind=kind,
        letter="F" if kind == "joist bay" else "J",
        words=words,
        owner=room.id,
        storey=storey.id,
        plot=plot,
        bottom=heights[0],
        top=heights[1],
        volume=plot.area * (heights[1] - heights[0]),
        axis=joists.axis,
        insulated=insulated,
        touches=touches,
    )


def _shared(shape: shapely.Geometry | None, plot: Plot) -> float:
    if shape is None:
        return 0.0
    return float(sum(one.intersection(plot.polygon).area for one in polygons(shape)))

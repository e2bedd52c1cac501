"""The large spaces: crawl spaces under a suspended floor, lofts under the roof.

Rooms within a wall's thickness of each other share one.  A party wall goes up through the loft:
what lies beyond it there is an edge of the plan like any other, and a loft that is known to be
shared is a way in with a name (``voids.sources``).

Limits: a loft's volume is half of its area times the ridge height.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from wainscot.plan.model import Plan, Room, Storey
from wainscot.voids.modules import polygons
from wainscot.voids.plots import Plot, plot_of, rotated
from wainscot.voids.rooms import room_turn, wall_point
from wainscot.voids.space import Space, Touch

BRIDGE = 0.35
"""Rooms closer than this share a crawl space or loft: a wall stands between. [m]"""
GRID = 1e-7
"""Corners in turned axes are rounded to this, so that square rooms stay square. [m]"""
LEAST_AREA = 0.3
"""A part of a ceiling smaller than this with nothing drawn above it is left out. [m2]"""


def covered(plan: Plan, level: int) -> shapely.Geometry:
    """Return what rooms of a level cover, walls between them included. [m]"""
    here = [room for room in plan.rooms if plan.storey(room.storey).level == level]
    return shapely.union_all([_squared(room, BRIDGE) for room in here])


def crawl_spaces(plan: Plan, storey: Storey, rooms: Sequence[Room]) -> Iterator[Space]:
    """Yield the spaces under a storey's suspended floor."""
    floor = storey.floor
    top = storey.elevation - floor.board - floor.depth
    kind = "crawl space" if floor.below == "crawl space" else "underfloor void"
    for members, plot in _regions(rooms, None):
        point = (*plot.inside, top - floor.crawl_height)
        ground = Touch("ground", "floor", "ground", plot.area, point)
        # A suspended floor has air bricks or vents all round, drawn or not.
        walls = [
            Touch(
                wall.beyond, "vent", f"{wall.side.facing} side",
                (wall.high - wall.low) * (floor.crawl_height + floor.depth),
                wall_point(wall, top - floor.crawl_height / 2),
            )
            for wall in plan.walls
            if wall.beyond and wall.side.room in members
        ]  # fmt: skip
        yield Space(
            key=f"{storey.id}/crawl-space/{members[0]}",
            form="crawl",
            kind=kind,
            letter="U",
            words=f"{kind} {{label}}",
            owner=storey.id,
            storey=storey.id,
            plot=plot,
            bottom=top - floor.crawl_height,
            top=top,
            volume=plot.area * floor.crawl_height,
            touches=(ground, *walls),
        )


def lofts(
    plan: Plan, storey: Storey, rooms: Sequence[Room], above: shapely.Geometry
) -> Iterator[Space]:
    """Yield the spaces between a storey's ceiling and the roof."""
    foot = storey.elevation + storey.height + storey.ceiling_board
    for members, plot in _regions(rooms, above):
        middle = (*plot.inside, foot + storey.loft_height / 2)
        roof = Touch("outside", "roof", "roof", plot.area, middle)
        yield Space(
            key=f"{storey.id}/loft/{members[0]}",
            form="loft",
            kind="loft",
            letter="L",
            words="loft {label}",
            owner=storey.id,
            storey=storey.id,
            plot=plot,
            bottom=foot,
            top=foot + storey.loft_height,
            volume=plot.area * storey.loft_height / 2,
            touches=(roof, *_gables(plan, storey, members, foot)),
        )


def _gables(plan: Plan, storey: Storey, members: list[str], foot: float) -> Iterator[Touch]:
    """Yield what lies beyond the party walls of a loft, unless somebody said what does."""
    told = {f"{edge.room}/{edge.side}" for edge in plan.loft_edges}
    told |= {edge.room for edge in plan.loft_edges if not edge.side}
    for wall in plan.walls:
        known = wall.id in told or wall.side.room in told
        if wall.beyond == "neighbour" and wall.side.room in members and not known:
            size = (wall.high - wall.low) * storey.loft_height / 2
            point = wall_point(wall, foot + storey.loft_height / 3)
            yield Touch("neighbour", "wall", f"{wall.side.facing} side", size, point)
    for edge in plan.loft_edges:
        if edge.room in members and edge.kind != "neighbour":
            side = plan.room(edge.room).side(edge.side) if edge.side else None
            where = f"{side.facing} side" if side else "roof"
            size = (side.length if side else 1.0) * storey.loft_height / 2
            x, y = side.point(side.length / 2) if side else plan.room(edge.room).polygon[0]
            yield Touch(edge.kind, "wall", where, size, (x, y, foot + storey.loft_height / 3))


def _bridged(rooms: Sequence[Room], reach: float) -> shapely.Geometry:
    """Return the rooms with what lies between them closed. [m]"""
    turn = room_turn(rooms[0])
    if any(room_turn(room) != turn for room in rooms):
        turn = 0.0
    wide = [rotated(_squared(room, reach), turn) for room in rooms]
    grid = 0.0 if turn == 0.0 else GRID
    whole = shapely.union_all([shapely.set_precision(one, grid) if grid else one for one in wide])
    return rotated(whole.buffer(-reach, join_style="mitre"), -turn)


def _squared(room: Room, reach: float) -> shapely.Geometry:
    """Return a room grown by a distance, in axes in which its corners are exact. [m]"""
    turn = room_turn(room)
    own = rotated(shapely.Polygon(room.polygon), turn)
    if turn:
        own = shapely.set_precision(own, GRID)
    return rotated(own.buffer(reach, join_style="mitre"), -turn)


def _regions(
    rooms: Sequence[Room], without: shapely.Geometry | None
) -> Iterator[tuple[list[str], Plot]]:
    """Yield (room ids, plot) of rooms that lie within a wall's thickness of each other."""
    if not rooms:
        return
    clear = _bridged(rooms, BRIDGE / 2)
    if without is not None:
        clear = clear.difference(without)
    points = {room.id: shapely.Polygon(room.polygon).representative_point() for room in rooms}
    turns = {room.id: room_turn(room) for room in rooms}
    for region in polygons(clear):
        members = sorted(key for key, point in points.items() if region.intersects(point))
        if members and region.area > LEAST_AREA - 1e-9:
            yield members, plot_of(region, turns[members[0]])

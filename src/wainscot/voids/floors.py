"""Floors and ceilings become joist bays, crawl spaces and lofts.

Under each room the floor is cut into bays across the joists; the index counts from the room's own
south-west corner (``ground/kitchen/joist-bay/4``), so that a room drawn elsewhere renames nothing.
Where no room is drawn above a ceiling that has a storey over it, the room gets ceiling bays of its
own, at the edge of the plan.

Limits: joists run along x or y and through one room at a time; their lap at a wall is a passage,
not a shared bay.  A loft's volume is half of its area times the ridge height.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import msgspec
import shapely

from wainscot.plan import defaults
from wainscot.plan.model import COMPASS, Axis, Plan, Room, Side, Storey, Wall
from wainscot.voids.modules import Rectangle, area, modules, polygons, rectangles
from wainscot.voids.space import Space, Touch

BRIDGE = 0.35
"""Rooms closer than this share a crawl space or loft: a wall stands between. [m]"""
LEAST_AREA = 0.3
"""A part of a ceiling smaller than this with nothing drawn above it is left out. [m2]"""


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
        parts = tuple(rectangles(shapely.Polygon(room.polygon)))
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
                rectangles=parts,
                bottom=storey.elevation,
                top=top,
                volume=area(parts) * storey.height,
                touches=tuple(_room_touches(plan, room, storey, parts)),
            )
        )
    return found


def floor_spaces(plan: Plan) -> list[Space]:
    """Return every void in floors and ceilings, below the lowest floor and under the roof.

    Parameters
    ----------
    plan : Plan
        The plan.
    """
    found: list[Space] = []
    fields = _fields(plan)
    for storey in plan.storeys:
        rooms = [room for room in plan.rooms if room.storey == storey.id]
        above = _covered(plan, storey.level + 1)
        below = _covered(plan, storey.level - 1)
        for room in rooms:
            field = fields[room.id]
            if storey.floor.build == "joists":
                found += _joist_bays(plan, room, storey, field, below)
            found += _ceiling_bays(plan, room, storey, field, above)
        if storey.floor.build == "joists" and storey.floor.below != "storey":
            found += _crawl_spaces(plan, storey, rooms)
        if storey.ceiling == "loft":
            lofted = [room for room in rooms if room.id not in plan.ceiling_edges]
            found += _lofts(storey, lofted, above)
    return found


class _Field(msgspec.Struct, frozen=True):
    """What the floor of one room covers: the room, and the walls that stand on its boards."""

    shape: Any
    """shapely.Polygon. [m]"""
    corner: tuple[float, float]
    """The room's own south-west corner, where indices start. [m]"""
    open_sides: frozenset[str]
    """Compass letters of sides where the floor runs on under a partition."""


def _fields(plan: Plan) -> dict[str, _Field]:
    """Return the floors of all rooms; where two would meet in a corner the first keeps it."""
    found: dict[str, _Field] = {}
    for level in sorted({storey.level for storey in plan.storeys}):
        taken: list[Any] = []
        for room in plan.rooms:
            if plan.storey(room.storey).level != level:
                continue
            field = _field(plan, room)
            shape = field.shape
            for other in taken:
                if shape.intersects(other) and shape.intersection(other).area > 1e-9:
                    shape = shape.difference(other)
            taken.append(shape)
            found[room.id] = msgspec.structs.replace(field, shape=shape)
    return found


def _field(plan: Plan, room: Room) -> _Field:
    """Return a room's floor, carried on under the stud walls that it owns.

    The floor runs through under a partition; the room whose side owns the wall gets that strip.
    """
    sides = {side.name: side for side in room.sides}
    reaches: list[tuple[str, float, float, float]] = []
    through: set[str] = set()
    for wall in plan.walls:
        if wall.side.room == room.id:
            reach = wall.thickness if wall.facing else wall.near_finish + wall.stud_depth
            carried = reach if wall.build == "stud" or wall.lined else 0.0
            reaches.append((wall.side.name, wall.low, wall.high, carried))
            if wall.facing and wall.build == "stud":
                through.add(wall.side.normal)
        elif wall.facing == room.id:
            reaches.append((wall.facing_side, wall.low, wall.high, 0.0))
    grow = {name: max(one[3] for one in reaches if one[0] == name) for name, *_ in reaches}
    shape = shapely.Polygon(_moved(room, grow))
    for name, low, high, reach in reaches:
        if grow[name] - reach > 1e-6:
            beyond = sides[name].rectangle(low, high, reach, grow[name])
            shape = shape.difference(shapely.box(*beyond))
    west, south, _, _ = shapely.Polygon(room.polygon).bounds
    return _Field(shape, (west, south), frozenset(through))


def _moved(room: Room, grow: Mapping[str, float]) -> list[tuple[float, float]]:
    """Return the outline with each side moved outwards by its own distance."""
    ring = room.polygon
    out = []
    for n, corner in enumerate(ring):
        x, y = corner
        for start, stop in ((ring[n - 1], corner), (corner, ring[(n + 1) % len(ring)])):
            side = _side_between(room, start, stop)
            shift = side.outward * grow.get(side.name, 0.0)
            if side.axis == "x":
                y += shift
            else:
                x += shift
        out.append((x, y))
    return out


def _side_between(room: Room, start: tuple[float, float], stop: tuple[float, float]) -> Side:
    along_x = abs(start[1] - stop[1]) < 1e-6
    line, ends = (start[1], (start[0], stop[0])) if along_x else (start[0], (start[1], stop[1]))
    return next(
        side
        for side in room.sides
        if (side.axis == "x") == along_x
        and abs(side.level_line - line) < 1e-6
        and abs(side.low - min(ends)) < 1e-6
        and abs(side.high - max(ends)) < 1e-6
    )


def joist_axis(room: Room, storey: Storey) -> Axis:
    """Return the way the joists run under a room."""
    if storey.floor.joists_run:
        return storey.floor.joists_run
    west, south, east, north = shapely.Polygon(room.polygon).bounds
    # A square room takes x; the margin keeps rounding from turning its joists.
    return "x" if (east - west) - (north - south) <= 1e-6 else "y"


def _covered(plan: Plan, level: int) -> shapely.Geometry:
    """Return what rooms of a level cover, walls between them included."""
    shapes = [
        shapely.Polygon(room.polygon).buffer(BRIDGE, join_style="mitre")
        for room in plan.rooms
        if plan.storey(room.storey).level == level
    ]
    return shapely.union_all(shapes)


def _joist_bays(
    plan: Plan, room: Room, storey: Storey, field: _Field, below: shapely.Geometry
) -> Iterator[Space]:
    floor = storey.floor
    top = storey.elevation - floor.board
    undrawn = field.shape.difference(below) if floor.below == "storey" else None
    edge = plan.floor_edges.get(room.id, "not drawn yet")
    stem = f"{storey.id}/{room.id}/joist-bay"
    axis = joist_axis(room, storey)
    for key, parts in _strips(field.shape, field, axis, floor.spacing, floor.thickness, stem):
        touches: tuple[Touch, ...] = ()
        if undrawn is not None or room.id in plan.floor_edges:
            free = area(parts) if room.id in plan.floor_edges else _shared(undrawn, parts)
            if free > 1e-3 and floor.below == "storey":
                touches = (_touch(edge, "floor", "floor", free, parts, top - floor.depth),)
        yield _bay(
            room, storey, key, parts, (top - floor.depth, top), axis,
            "joist bay", f"joist bay {{label}}, under the {room.name} floor", touches,
        )  # fmt: skip


def _ceiling_bays(
    plan: Plan, room: Room, storey: Storey, field: _Field, above: shapely.Geometry
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
    axis = joist_axis(room, storey)
    stem = f"{storey.id}/{room.id}/ceiling-bay"
    for key, parts in _strips(bare, field, axis, spacing, thickness, stem):
        through = "roof" if roof else "ceiling"
        touch = _touch(edge, through, through, area(parts), parts, foot + depth)
        kind = "rafter bay" if roof else "ceiling bay"
        yield _bay(
            room, storey, key, parts, (foot, foot + depth), axis, kind,
            f"{kind} {{label}}, over the {room.name} ceiling", (touch,),
        )  # fmt: skip


def _strips(
    shape: shapely.Geometry,
    field: _Field,
    axis: Axis,
    spacing: float,
    thickness: float,
    key: str,
) -> Iterator[tuple[str, tuple[Rectangle, ...]]]:
    """Yield (id, rectangles) of the bays between joists over a shape."""
    west, south, east, north = shape.bounds
    low, high = (south, north) if axis == "x" else (west, east)
    whole = len(polygons(shape)) == 1 and abs(shape.area - shape.envelope.area) < 1e-9
    first = field.corner[1 if axis == "x" else 0]
    low_side, high_side = ("s", "n") if axis == "x" else ("w", "e")
    closed = (low_side not in field.open_sides, high_side not in field.open_sides)
    for index, start, end in modules(low, high, first, spacing, thickness, closed):
        strip = (west, start, east, end) if axis == "x" else (start, south, end, north)
        if whole:
            yield f"{key}/{index}", (strip,)
            continue
        for number, part in enumerate(polygons(shape.intersection(shapely.box(*strip))), 1):
            suffix = "" if number == 1 else f"/{number}"
            yield f"{key}/{index}{suffix}", tuple(rectangles(part))


def _bay(
    room: Room,
    storey: Storey,
    key: str,
    parts: tuple[Rectangle, ...],
    heights: tuple[float, float],
    axis: Axis,
    kind: str,
    words: str,
    touches: tuple[Touch, ...],
) -> Space:
    return Space(
        key=key,
        form="joist bay",
        kind=kind,
        letter="F" if kind == "joist bay" else "E",
        words=words,
        owner=room.id,
        storey=storey.id,
        rectangles=parts,
        bottom=heights[0],
        top=heights[1],
        volume=area(parts) * (heights[1] - heights[0]),
        axis=axis,
        touches=touches,
    )


def _crawl_spaces(plan: Plan, storey: Storey, rooms: Sequence[Room]) -> Iterator[Space]:
    floor = storey.floor
    top = storey.elevation - floor.board - floor.depth
    kind = "crawl space" if floor.below == "crawl space" else "underfloor void"
    for members, parts in _regions(rooms, None):
        ground = _touch("ground", "floor", "ground", area(parts), parts, top - floor.crawl_height)
        walls = [
            Touch(
                wall.beyond, "wall", f"{COMPASS[wall.side.normal]} side",
                (wall.high - wall.low) * (floor.crawl_height + floor.depth),
                _wall_point(wall, top - floor.crawl_height / 2),
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
            rectangles=parts,
            bottom=top - floor.crawl_height,
            top=top,
            volume=area(parts) * floor.crawl_height,
            touches=(ground, *walls),
        )


def _lofts(storey: Storey, rooms: Sequence[Room], above: shapely.Geometry) -> Iterator[Space]:
    foot = storey.elevation + storey.height + storey.ceiling_board
    for members, parts in _regions(rooms, above):
        roof = _touch("outside", "roof", "roof", area(parts), parts, foot + storey.loft_height / 2)
        yield Space(
            key=f"{storey.id}/loft/{members[0]}",
            form="loft",
            kind="loft",
            letter="L",
            words="loft {label}",
            owner=storey.id,
            storey=storey.id,
            rectangles=parts,
            bottom=foot,
            top=foot + storey.loft_height,
            volume=area(parts) * storey.loft_height / 2,
            touches=(roof,),
        )


def _regions(
    rooms: Sequence[Room], without: shapely.Geometry | None
) -> Iterator[tuple[list[str], tuple[Rectangle, ...]]]:
    """Yield (room ids, rectangles) of rooms that lie within a wall's thickness of each other."""
    if not rooms:
        return
    wide = [shapely.Polygon(room.polygon).buffer(BRIDGE / 2, join_style="mitre") for room in rooms]
    clear = shapely.union_all(wide).buffer(-BRIDGE / 2, join_style="mitre")
    if without is not None:
        clear = clear.difference(without)
    for region in polygons(clear):
        members = sorted(
            room.id
            for room in rooms
            if region.intersects(shapely.Polygon(room.polygon).representative_point())
        )
        if members and region.area > LEAST_AREA - 1e-9:
            yield members, tuple(rectangles(region))


def _room_touches(
    plan: Plan, room: Room, storey: Storey, parts: tuple[Rectangle, ...]
) -> Iterator[Touch]:
    for wall in plan.walls:
        if wall.side.room != room.id or not wall.beyond:
            continue
        side = f"{COMPASS[wall.side.normal]} side"
        point = _wall_point(wall, storey.elevation + 0.1)
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
            yield _touch(edge, "floor", "floor", area(parts), parts, storey.elevation)


def _touch(
    edge: str, through: str, side: str, size: float, parts: tuple[Rectangle, ...], height: float
) -> Touch:
    west, south, east, north = parts[0]
    point = ((west + east) / 2, (south + north) / 2, height)
    return Touch(edge, through, side, size, point)  # type: ignore[arg-type]


def _wall_point(wall: Wall, height: float) -> tuple[float, float, float]:
    west, south, east, north = wall.side.rectangle(wall.low, wall.high, 0.0, wall.thickness)
    return ((west + east) / 2, (south + north) / 2, height)


def _shared(shape: shapely.Geometry | None, parts: tuple[Rectangle, ...]) -> float:
    if shape is None or shape.is_empty:
        return 0.0
    return sum(float(shape.intersection(shapely.box(*part)).area) for part in parts)

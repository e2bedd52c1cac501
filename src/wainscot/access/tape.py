"""One face of a room as the tape reads it: what lies behind, what is in the way of a saw.

``u`` is the distance from a side's left corner, as you face it; ``v`` the height over the finished
floor, or in a floor or ceiling the distance from that side's wall.

Limits: joists that run askew to the side give no face: what is cut there lies along them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

import msgspec
import shapely

from wainscot.access.model import CutAt
from wainscot.access.panels import Panel
from wainscot.access.scene import ENTERED, Scene
from wainscot.access.surfaces import (
    Flat,
    bays,
    face_level,
    fixtures_at,
    services_in,
    wall_cut,
)
from wainscot.plan.frame import Point2, to_frame, to_world
from wainscot.plan.model import Opening, Room, Side, Wall
from wainscot.quantity import length

Part = Literal["wall", "floor", "ceiling"]
Lacks = Literal["", "nothing hidden", "masonry", "comes off", "joists askew"]
AROUND = 0.3
"""A cut this near to a kept stretch or point touches it. [m]"""


class Behind(msgspec.Struct, frozen=True):
    """A void behind a face: its clear panel, and how deep the way into it is."""

    void: int
    panel: Panel
    finish: str
    deep: float
    """[m]"""
    key: str
    """Of the stretch of wall or the bay, to find it again."""


class Obstacle(msgspec.Struct, frozen=True):
    """Something drawn that a saw must stay clear of, its margin included."""

    kind: str
    """A type of run (``drain``, ``cable``), else ``fixture``, ``door``, ``window``, ``kept``."""
    name: str
    panel: Panel


class TapeFace(msgspec.Struct, frozen=True):
    """One wall, floor or ceiling of one room, measured from one of its sides."""

    part: Part
    room: str
    side: str
    whole: Panel
    behind: tuple[Behind, ...]
    obstacles: tuple[Obstacle, ...]
    across: Literal["u", "v"]
    """The axis that crosses the members."""
    spans: bool
    """True where a board may come off several bays at once, as from studs."""
    laid_out: bool
    """True where somebody saw or measured where the members stand."""
    lacks: Lacks = ""


def face_of(scene: Scene, room: Room, side: Side, part: Part) -> TapeFace:
    """Return what a room shows behind one of its faces.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    room : Room
        The room.
    side : Side
        The side that is measured from.
    part : {"wall", "floor", "ceiling"}
        The face: the side's own wall, or the room's floor or ceiling.
    """
    return _wall(scene, room, side) if part == "wall" else _flat(scene, room, side, part)


def placed(scene: Scene, face: TapeFace, panel: Panel, board: float) -> CutAt:
    """Return a panel of a face as a cut in the house.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    face : TapeFace
        The face.
    panel : Panel
        What is cut.
    board : float
        Thickness of the boards of a floor or ceiling; a wall knows its own. [m]
    """
    room = scene.plan.room(face.room)
    side = room.side(face.side)
    assert side is not None
    storey = scene.plan.storey(room.storey)
    if face.part == "wall":
        wall = _stretch_at(scene, room, side, (panel.u_low + panel.u_high) / 2)
        ends = sorted(wall.side.on_axis(side.point(u)) for u in (panel.u_low, panel.u_high))
        low, high = storey.elevation + panel.v_low, storey.elevation + panel.v_high
        return wall_cut(scene, wall, room.id, Panel(ends[0], ends[1], low, high))
    corners = ((panel.u_low, panel.v_low), (panel.u_high, panel.v_low),
               (panel.u_high, panel.v_high), (panel.u_low, panel.v_high))  # fmt: skip
    level = storey.elevation + (0.0 if face.part == "floor" else storey.height)
    return CutAt(
        part=face.part, room=room.id, side="",
        outline=tuple(side.point(u, -v) for u, v in corners),
        bottom=level, top=level, area=panel.area, board=board,
    )  # fmt: skip


def walls_at(scene: Scene, room: Room, side: Side) -> list[Wall]:
    """Return the stretches of wall that a side of a room shows, whichever room owns them."""
    return [
        wall
        for wall in scene.plan.walls_of.get(room.id, ())
        if wall.id == side.id or (wall.facing, wall.facing_side) == (room.id, side.name)
    ]


def _stretch_at(scene: Scene, room: Room, side: Side, along: float) -> Wall:
    walls = walls_at(scene, room, side)
    at = side.point(along)
    return min(walls, key=lambda one: _away(one.side.on_axis(at), one.low, one.high))


def _away(value: float, low: float, high: float) -> float:
    return max(low - value, value - high, 0.0)


def _wall(scene: Scene, room: Room, side: Side) -> TapeFace:
    storey = scene.plan.storey(room.storey)
    walls = walls_at(scene, room, side)
    keys = {(wall.id, wall.low) for wall in walls}
    here = [
        bay
        for bay in bays(scene)
        if bay.room == room.id and (bay.wall.id, bay.wall.low) in keys
    ]  # fmt: skip
    obstacles: list[Obstacle] = []
    for wall in walls:

        def seen(panel: Panel, wall: Wall = wall) -> Panel:
            return _on_side(side, wall, room.id, panel, storey.elevation)

        obstacles += [Obstacle(run.type, run.name, seen(p)) for run, p in services_in(scene, wall)]
        obstacles += [
            Obstacle("fixture", one.name or one.type, seen(p))
            for one, p in fixtures_at(scene, wall, room.id)
        ]
        obstacles += [Obstacle(one.type, "", seen(p)) for one, p in _gaps(wall, storey.elevation)]
    return TapeFace(
        part="wall", room=room.id, side=side.name,
        whole=Panel(0.0, side.length, 0.0, storey.height),
        behind=tuple(
            Behind(
                bay.void, _on_side(side, bay.wall, room.id, bay.panel, storey.elevation),
                bay.finish, bay.wall.stud_depth, scene.graph.keys[bay.void],
            )
            for bay in here
        ),
        obstacles=(*obstacles, *_kept(scene, room, side, "wall")),
        across="u", spans=True,
        laid_out=bool(walls) and all(wall.laid_out for wall in walls if wall.build == "stud"),
        lacks="" if here else "masonry" if any(w.build != "stud" for w in walls)
        else "nothing hidden",
    )  # fmt: skip


def _gaps(wall: Wall, floor: float) -> Iterator[tuple[Opening, Panel]]:
    for one in wall.openings:
        yield one, Panel(one.low, one.high, floor + one.sill, floor + one.head)


def _on_side(side: Side, wall: Wall, room: str, panel: Panel, floor: float) -> Panel:
    """Return a panel of a wall's own axis as the tape reads it from the room."""
    level = face_level(wall, room)
    ends = sorted(
        (side.on_axis(_world((u, level), wall.side)) - side.left) * side.rightward
        for u in (panel.u_low, panel.u_high)
    )
    return Panel(ends[0], ends[1], panel.v_low - floor, panel.v_high - floor)


def _world(own: Point2, side: Side) -> Point2:
    return to_world(own if side.axis == "x" else (own[1], own[0]), side.turn)


def _flat(scene: Scene, room: Room, side: Side, part: Part) -> TapeFace:
    here, loose = _flats(scene, room, part)
    across: Literal["u", "v"] = "v"
    askew = False
    if here:
        along = side.turn + (math.pi / 2 if side.axis == "y" else 0.0)
        turned = (here[0][0].turn - along) % math.pi
        askew = min(turned, abs(turned - math.pi / 2), math.pi - turned) > 1e-6
        across = "u" if abs(turned - math.pi / 2) < 1e-6 else "v"
    if askew:
        here = []
    panels = [_from_joists(side, flat, flat.panel) for flat, _ in here if flat.panel]
    far = max(_tape(side, corner)[1] for corner in room.polygon)
    found: dict[tuple[str, str, Panel], Obstacle] = {}
    for flat, _ in here:
        for one in (
            *(Obstacle(run.type, run.name, _from_joists(side, flat, p)) for run, p in flat.runs()),
            *(Obstacle("fixture", it.name or it.type, _from_joists(side, flat, p))
              for it, p in flat.stands()),
        ):  # fmt: skip
            found[one.kind, one.name, one.panel] = one
    lacks: Lacks = "joists askew" if askew else "comes off" if loose else "nothing hidden"
    return TapeFace(
        part=part, room=room.id, side=side.name,
        whole=Panel(0.0, side.length, 0.0, far),
        behind=tuple(
            Behind(flat.void, panel, finish, _deep(scene, flat.void), scene.graph.keys[flat.void])
            for (flat, finish), panel in zip(here, panels, strict=True)
        ),
        obstacles=(*found.values(), *_kept(scene, room, side, part)),
        across=across, spans=False, laid_out=False,
        lacks="" if here else lacks,
    )  # fmt: skip


def _flats(scene: Scene, room: Room, part: Part) -> tuple[list[tuple[Flat, str]], bool]:
    """Return the bays that a room's floor or ceiling shows, and whether its boards lift out."""
    found, loose = [], False
    for void, face in scene.faces(part):
        if face.room != room.id or scene.graph.kinds[void] in ENTERED:
            continue
        if scene.comes_off(face.finish):
            loose = True
            continue
        flat = Flat(scene, void, room.id, part)
        if flat.panel is not None:
            found.append((flat, face.finish))
    return found, loose


def _deep(scene: Scene, void: int) -> float:
    return float(scene.graph.top[void] - scene.graph.bottom[void])


def _from_joists(side: Side, flat: Flat, panel: Panel) -> Panel:
    """Return a panel in the axes of the joists as the tape reads it from a side."""
    ends = [
        _tape(side, to_world((u, v), flat.turn))
        for u in (panel.u_low, panel.u_high)
        for v in (panel.v_low, panel.v_high)
    ]
    us, vs = [u for u, _ in ends], [v for _, v in ends]
    return Panel(min(us), max(us), min(vs), max(vs))


def _tape(side: Side, point: Point2) -> Point2:
    """Return the distance from a side's left corner, and from its wall into the room. [m]"""
    level = to_frame(point, side.turn)[1 if side.axis == "x" else 0]
    along = (side.on_axis(point) - side.left) * side.rightward
    return along, (side.level_line - level) * side.outward


def _kept(scene: Scene, room: Room, side: Side, part: Part) -> Iterator[Obstacle]:
    """Yield what the owner wants kept on this face."""
    whole = Panel(-math.inf, math.inf, -math.inf, math.inf)
    for item in scene.plan.kept:
        place = item.place
        if place.of == room.id and place.part in ("", part):
            yield Obstacle("kept", item.name, whole)
        elif part == "wall" and _names(scene, place.of) == side.id:
            panel = whole
            if place.along is not None:
                low = length(place.along)
                high = low + (length(place.extent) if place.extent is not None else 0.0)
                panel = Panel(low - AROUND, high + AROUND, -math.inf, math.inf)
            yield Obstacle("kept", item.name, panel)
        elif place.at is not None and place.storey == room.storey:
            near = _near(side, room, (length(place.at[0]), length(place.at[1])), part)
            if near:
                yield Obstacle("kept", item.name, near)


def _names(scene: Scene, of: str) -> str:
    return scene.plan.side_key(of)


def _near(side: Side, room: Room, point: Point2, part: Part) -> Panel | None:
    u, v = _tape(side, point)
    if part == "wall":
        beside = Panel(u - AROUND, u + AROUND, -math.inf, math.inf)
        return beside if abs(v) <= AROUND else None
    if shapely.distance(shapely.Polygon(room.polygon), shapely.Point(*point)) > AROUND:
        return None
    return Panel(u - AROUND, u + AROUND, v - AROUND, v + AROUND)

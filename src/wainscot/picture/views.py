"""What a panel shows of the building itself: rooms, walls as one mass, openings, hidden voids.

Limits: where two voids lie over each other in one panel, the one of greater chance is drawn and
the other only counted.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
from shapely.geometry import Polygon
from shapely.ops import unary_union

from wainscot import chance
from wainscot.diagnosis.answer import VoidAnswer
from wainscot.job import Job, Room, typed
from wainscot.picture.layers import Layer
from wainscot.picture.sheet import (
    FixtureShape,
    GapShape,
    Panel,
    Point,
    Ring,
    RoomShape,
    ServiceShape,
    Shows,
    State,
    VoidShape,
)  # fmt: skip
from wainscot.plan.model import Plan, Wall
from wainscot.voids.graph import Graph

_CORNER = 0.4  # how far a wall is carried on to find the corner that it makes with another [m]
_SAME = 0.6  # voids that share this much of their outlines lie one over the other [1]
_AT_EDGE = 0.6  # a way in this near the outline of the plan points inwards [m]


def panel_of(
    job: Job, plan: Plan, graph: Graph, layer: Layer, answers: dict[str, VoidAnswer], shows: Shows
) -> Panel:
    """Return the panel of one layer, still without ways in, marks and runs.

    Parameters
    ----------
    job : Job
        For rooms that are not drawn.
    plan : Plan
        For walls and rooms.
    graph : Graph
        For the outlines of voids.
    layer : Layer
        Which voids it shows.
    answers : dict
        What is thought of each void, by id; empty where nothing is calculated.
    shows : str
        What the fill shows.
    """
    storey = plan.storey(layer.storey)
    view = layer.where == "view"
    title, subtitle = _titles(plan, graph, layer)
    gaps = tuple(_gaps(plan, storey.id)) if view else ()
    doors = [Polygon(gap.ring) for gap in gaps if gap.kind != "window"]
    return Panel(
        title=title, subtitle=subtitle, column=0, row=0,
        rooms=tuple(RoomShape(room.name, room.polygon) for room in plan.rooms
                    if room.storey == storey.id),
        walls=_walls(plan, storey.id),
        gaps=gaps,
        fixtures=tuple(FixtureShape(each.name, each.ring) for each in plan.fixtures
                       if each.storey == storey.id) if view else (),
        services=tuple(_services(plan, graph, layer)),
        voids=tuple(_voids(graph, layer.voids, answers, shows, doors)),
        undrawn=_undrawn(job, plan, storey.id) if view else (),
        beneath=_walls(plan, layer.lower) if layer.lower else (),
    )  # fmt: skip


def _titles(plan: Plan, graph: Graph, layer: Layer) -> tuple[str, str]:
    storey = plan.storey(layer.storey)
    if layer.where == "view":
        return storey.name, "rooms, walls, what is built in"
    where = f"{'under' if layer.where == 'under' else 'above'} the {storey.name.lower()}"
    kinds = sorted({graph.kinds[v] for v in layer.voids}, key=lambda kind: (-len(kind), kind))
    named = " and ".join(_plural(kind) if len(layer.voids) > 1 else kind for kind in kinds)
    if len(kinds) == 1:
        return named.capitalize(), where
    return where.capitalize(), named


def _undrawn(job: Job, plan: Plan, storey: str) -> tuple[str, ...]:
    drawn = {room.id for room in plan.rooms}
    rooms = {key: each for key, each in typed(job).items() if isinstance(each, Room)}
    return tuple(room.name for key, room in rooms.items()
                 if room.storey == storey and key not in drawn)  # fmt: skip


def _plural(kind: str) -> str:
    return kind if kind.endswith("s") else f"{kind}s"


def _walls(plan: Plan, storey: str) -> tuple[Ring, ...]:
    """Walls as one mass: each stretch, and the corner squares where two of them meet."""
    walls = [wall for wall in plan.walls if wall.storey == storey]
    rooms = unary_union([Polygon(room.polygon) for room in plan.rooms if room.storey == storey])
    pieces = [Polygon(_outline(wall, 0.0)) for wall in walls]
    longer = [Polygon(_outline(wall, _CORNER)) for wall in walls]
    for i, one in enumerate(longer):
        pieces += [one.intersection(other) for other in longer[:i]
                   if one.intersects(other)]  # fmt: skip
    mass = unary_union([piece for piece in pieces if piece.area > 0]).difference(rooms)
    found: list[Ring] = []
    for part in getattr(mass, "geoms", [mass]):
        if part.area > 1e-6:
            found.append(tuple(part.exterior.coords))
            found += [tuple(hole.coords) for hole in part.interiors]
    return tuple(found)


def _outline(wall: Wall, more: float) -> Ring:
    return wall.side.ring(wall.low - more, wall.high + more, 0.0, wall.thickness)


def _gaps(plan: Plan, storey: str) -> Iterable[GapShape]:
    for wall in plan.walls:
        if wall.storey == storey:
            for gap in wall.openings:
                ring = wall.side.ring(gap.low, gap.high, 0.0, wall.thickness)
                yield GapShape(gap.type, ring)


def _services(plan: Plan, graph: Graph, layer: Layer) -> Iterable[ServiceShape]:
    """Stretches of the runs that lie within the heights of an under or over layer."""
    if layer.where == "view" or not layer.voids:
        return
    chosen = list(layer.voids)
    low, high = graph.bottom[chosen].min() - 0.5, graph.top[chosen].max() + 0.05
    if layer.depth == 0:
        low += 0.45
    for run in plan.services:
        for start, end in zip(run.path, run.path[1:], strict=False):
            flat = abs(start[0] - end[0]) + abs(start[1] - end[1]) > 0.05
            if flat and low <= (start[2] + end[2]) / 2 <= high:
                yield ServiceShape(run.name, (start[:2], end[:2]), run.disused)


def _chance(answer: VoidAnswer, shows: Shows) -> float:
    return {"soiled": answer.soiled, "in-use": answer.now, "nest": answer.nest,
            "entries": answer.ever}[shows]  # fmt: skip


def _voids(
    graph: Graph,
    voids: tuple[int, ...],
    answers: dict[str, VoidAnswer],
    shows: Shows,
    doors: list[Polygon],
) -> list[VoidShape]:
    shapes = [_void(graph, v, answers.get(graph.keys[v]), shows) for v in voids]
    shapes.sort(key=lambda shape: -shape.chance)
    shown: list[tuple[float, VoidShape]] = []
    top: list[Polygon] = []
    for shape in shapes:
        outline = Polygon(shape.ring)
        over = any(_same_place(outline, other) for other in top) or _gives_way(
            shape, outline, doors
        )
        if not over:
            top.append(outline)
        shown.append((outline.area, msgspec.structs.replace(shape, hidden_by=over)))
    # Small ones last, so that what lies over a part of a large one stays in sight.
    shown.sort(key=lambda pair: -pair[0])
    return [shape for _, shape in shown]


def _gives_way(shape: VoidShape, outline: Polygon, doors: list[Polygon]) -> bool:
    """True over a door, so that the plan shows the door, unless there is something to say."""
    told = shape.state == "can't tell yet" or (
        shape.state == "chance" and chance.class_of(shape.chance) > 0
    )
    return not told and any(outline.intersection(door).area > _SAME * outline.area
                            for door in doors)  # fmt: skip


def _same_place(one: Polygon, other: Polygon) -> bool:
    return bool(one.intersection(other).area > _SAME * max(one.area, other.area))


def _void(graph: Graph, v: int, answer: VoidAnswer | None, shows: Shows) -> VoidShape:
    ring = tuple((float(x), float(y)) for x, y in graph.polygon[v])
    group = f"{graph.owners[v]}|{graph.kinds[v]}"
    plain = VoidShape(graph.keys[v], graph.labels[v], graph.words[v], group, ring)
    if answer is None:
        return msgspec.structs.replace(plain, state="not shown") if shows == "seals" else plain
    state: State = "can't tell yet" if answer.band == "can't tell yet" else "chance"
    if shows == "entries":
        state = "not shown"
    return msgspec.structs.replace(
        plain,
        state=state,
        chance=_chance(answer, shows),
        looked=answer.looked,
        seen=answer.seen if shows == "soiled" else "",
    )


def inward(plan: Plan, storey: str, at: Point) -> Point:
    """Return the unit vector into the building by its outline, (0, 0) for a point well inside. [1]

    Parameters
    ----------
    plan : Plan
        For the outline.
    storey : str
        Id of the storey.
    at : (float, float)
        The point. [m]
    """
    whole = unary_union([Polygon(ring) for ring in _walls(plan, storey)]
                        + [Polygon(room.polygon) for room in plan.rooms
                           if room.storey == storey])  # fmt: skip
    west, south, east, north = whole.bounds
    gaps = {(1.0, 0.0): at[0] - west, (-1.0, 0.0): east - at[0],
            (0.0, 1.0): at[1] - south, (0.0, -1.0): north - at[1]}  # fmt: skip
    way, gap = min(gaps.items(), key=lambda item: item[1])
    return way if gap < _AT_EDGE else (0.0, 0.0)

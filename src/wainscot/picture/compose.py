"""From a plan and what is known of it to a sheet: what goes into which panel, and with what words.

    sheet = compose(job, plan, graph, evidence, diagnosis, shows="soiled", date="12 May 2026")

Without a diagnosis the voids stand as outlines, "not calculated".

Limits: at most three likely runs are drawn; ways in that nobody drew have no place, so they are
listed beside the plan, not on it.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
import numpy as np
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from wainscot import chance
from wainscot.diagnosis.answer import Diagnosis, VoidAnswer
from wainscot.job import Job, Room, typed
from wainscot.picture.layers import Layer, layers_of
from wainscot.picture.marks import place_signs
from wainscot.picture.routes import draw_runs
from wainscot.picture.sheet import (
    EntryShape,
    FixtureShape,
    GapShape,
    Line,
    Panel,
    Point,
    RibbonShape,
    Ring,
    RoomShape,
    ServiceShape,
    Sheet,
    Shows,
    SignShape,
    VoidShape,
)  # fmt: skip
from wainscot.plan.model import Plan, Wall
from wainscot.signs.evidence import Evidence
from wainscot.voids.graph import Graph

_CORNER = 0.4  # how far a wall is carried on to find the corner that it makes with another [m]
_AT_EDGE = 0.6  # a way in this near the outline of the plan points inwards [m]


def compose(
    job: Job,
    plan: Plan,
    graph: Graph,
    evidence: Evidence | None = None,
    diagnosis: Diagnosis | None = None,
    *,
    shows: Shows = "soiled",
    date: str = "",
) -> Sheet:
    """Return the sheet of a job.

    Parameters
    ----------
    job : Job
        For its title, units and inspections.
    plan : Plan
        For rooms, walls, fixtures and services.
    graph : Graph
        The voids; the same that the diagnosis speaks of.
    evidence : Evidence, optional
        For the marks of what was seen and where somebody looked.
    diagnosis : Diagnosis, optional
        For the chances; without it nothing is filled.
    shows : str
        What the fill shows.
    date : str
        What stands as the date, in words.
    """
    answers = {each.id: each for each in diagnosis.voids} if diagnosis else {}
    layers = layers_of(plan, graph)
    panels = [_panel(job, plan, graph, layer, answers, shows) for layer in layers]
    by_void = {v: i for i, layer in enumerate(layers) for v in layer.voids}
    rooms_at = {layer.storey: i for i, layer in enumerate(layers) if layer.where == "view"}
    for v in np.flatnonzero(~graph.hidden):
        if graph.storeys[v] in rooms_at:
            by_void[int(v)] = rooms_at[graph.storeys[v]]
    entries, ways_in = _entries(plan, graph, diagnosis, by_void)
    signs = place_signs(job, graph, evidence, diagnosis, by_void)
    ribbons, runs = draw_runs(graph, diagnosis, by_void)
    panels = [
        _filled(panel, entries.get(i, ()), signs.get(i, ()), ribbons.get(i, ()))
        for i, panel in enumerate(panels)
    ]
    return Sheet(
        title=job.title or job.id, shows=shows, date=date, calculated=diagnosis is not None,
        panels=_arranged(panels, layers), verdict=diagnosis.verdict if diagnosis else "",
        first=_first(diagnosis), ways_in=ways_in, runs=runs,
        unplaced=len(evidence.unplaced) if evidence else 0, units=plan.units,
    )  # fmt: skip


def _filled(
    panel: Panel,
    entries: Iterable[EntryShape],
    signs: Iterable[SignShape],
    ribbons: Iterable[RibbonShape],
) -> Panel:
    return msgspec.structs.replace(
        panel, entries=tuple(entries), signs=tuple(signs), ribbons=tuple(ribbons)
    )


def _panel(
    job: Job, plan: Plan, graph: Graph, layer: Layer, answers: dict[str, VoidAnswer], shows: Shows
) -> Panel:
    storey = plan.storey(layer.storey)
    view = layer.where == "view"
    kinds = sorted({graph.kinds[v] for v in layer.voids})
    title = storey.name
    subtitle = "rooms, walls, what is built in"
    if not view:
        where = "under" if layer.where == "under" else "above"
        title = (_plural(kinds[0]) if len(layer.voids) > 1 else kinds[0]).capitalize()
        if len(kinds) > 1:
            title = f"{where.capitalize()} {storey.name.lower()}"
        subtitle = f"{where} the {storey.name.lower()}"
    return Panel(
        title=title, subtitle=subtitle, column=0, row=0,
        rooms=tuple(RoomShape(room.name, room.polygon) for room in plan.rooms
                    if room.storey == storey.id),
        walls=_walls(plan, storey.id),
        gaps=tuple(_gaps(plan, storey.id)) if view else (),
        fixtures=tuple(FixtureShape(each.name, _ring(each.rectangle)) for each in plan.fixtures
                       if each.storey == storey.id) if view else (),
        services=tuple(_services(plan, graph, layer)),
        voids=tuple(_voids(graph, layer.voids, answers, shows)),
        undrawn=_undrawn(job, plan, storey.id) if view else (),
    )  # fmt: skip


def _undrawn(job: Job, plan: Plan, storey: str) -> tuple[str, ...]:
    drawn = {room.id for room in plan.rooms}
    rooms = {key: each for key, each in typed(job).items() if isinstance(each, Room)}
    return tuple(room.name for key, room in rooms.items()
                 if room.storey == storey and key not in drawn)  # fmt: skip


def _plural(kind: str) -> str:
    return kind if kind.endswith("s") else f"{kind}s"


def _ring(rectangle: tuple[float, float, float, float]) -> Ring:
    west, south, east, north = rectangle
    return ((west, south), (east, south), (east, north), (west, north))


def _walls(plan: Plan, storey: str) -> tuple[Ring, ...]:
    """Walls as one mass: each stretch, and the corner squares where two of them meet."""
    walls = [wall for wall in plan.walls if wall.storey == storey]
    rooms = unary_union([Polygon(room.polygon) for room in plan.rooms if room.storey == storey])
    pieces = [box(*_rectangle(wall, 0.0)) for wall in walls]
    longer = [box(*_rectangle(wall, _CORNER)) for wall in walls]
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


def _rectangle(wall: Wall, more: float) -> tuple[float, float, float, float]:
    return wall.side.rectangle(wall.low - more, wall.high + more, 0.0, wall.thickness)


def _gaps(plan: Plan, storey: str) -> Iterable[GapShape]:
    for wall in plan.walls:
        if wall.storey == storey:
            for gap in wall.openings:
                ring = _ring(wall.side.rectangle(gap.low, gap.high, 0.0, wall.thickness))
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
    graph: Graph, voids: tuple[int, ...], answers: dict[str, VoidAnswer], shows: Shows
) -> list[VoidShape]:
    shapes = [_void(graph, v, answers.get(graph.keys[v]), shows) for v in voids]
    shapes.sort(key=lambda shape: -shape.chance)
    outlines = [Polygon(shape.ring) for shape in shapes]
    shown: list[VoidShape] = []
    top: list[Polygon] = []
    for shape, outline in zip(shapes, outlines, strict=True):
        over = any(outline.intersection(other).area > 0.6 * outline.area for other in top)
        if not over:
            top.append(outline)
        shown.append(msgspec.structs.replace(shape, hidden_by=over))
    return shown


def _void(graph: Graph, v: int, answer: VoidAnswer | None, shows: Shows) -> VoidShape:
    ring = tuple((float(x), float(y)) for x, y in graph.polygon[v])
    group = f"{graph.owners[v]}|{graph.kinds[v]}"
    plain = VoidShape(graph.keys[v], graph.labels[v], graph.words[v], group, ring)
    if answer is None:
        return plain
    doubtful = answer.band == "can't tell yet" and shows != "entries"
    state = "can't tell yet" if doubtful else "not calculated" if shows == "entries" else "chance"
    return msgspec.structs.replace(
        plain, state=state, chance=_chance(answer, shows), looked=answer.looked, seen=answer.seen
    )


def _entries(
    plan: Plan, graph: Graph, diagnosis: Diagnosis | None, by_void: dict[int, int]
) -> tuple[dict[int, list[EntryShape]], tuple[Line, ...]]:
    """Wedges by panel, and the list of ways in: the drawn ones by number, then the pools."""
    used = {each.id: each for each in diagnosis.entries} if diagnosis else {}
    drawn = [e for e, sort in enumerate(graph.source_sort) if sort == "entry point"]
    drawn.sort(key=lambda e: (-(used[k].used if (k := graph.source_keys[e]) in used else 0.0), e))
    shapes: dict[int, list[EntryShape]] = {}
    lines: list[Line] = []
    for place, e in enumerate(drawn, start=1):
        answer = used.get(graph.source_keys[e])
        v = int(graph.source_void[e])
        at = (float(graph.source_at[e, 0]), float(graph.source_at[e, 1]))
        label = f"E{place}"
        shape = EntryShape(label, graph.source_words[e], at, _inward(plan, graph.storeys[v], at),
                           answer.used if answer else None)  # fmt: skip
        shapes.setdefault(by_void[v], []).append(shape)
        lines.append(Line(label, chance.percent(answer.used) if answer else "", shape.words))
    if diagnosis:
        pools = sorted((a for a in diagnosis.entries if a.sort != "entry point" and a.used >= 0.05),
                       key=lambda a: -a.used)  # fmt: skip
        lines += [Line("", chance.percent(pool.used), _pool_words(pool.words, pool.near))
                  for pool in pools[:3]]  # fmt: skip
    return shapes, tuple(lines)


def _first(diagnosis: Diagnosis | None) -> tuple[Line, ...]:
    """The voids to open, then those to check, likeliest first."""
    if diagnosis is None:
        return ()
    chosen = [each for band in ("open", "check first")
              for each in sorted((a for a in diagnosis.voids if a.band == band),
                                 key=lambda a: (-a.soiled, a.id))]  # fmt: skip
    return tuple(Line(each.label, chance.percent(each.soiled), f"{each.band}: {each.words}")
                 for each in chosen[:6])  # fmt: skip


def _pool_words(words: str, near: tuple[str, ...]) -> str:
    return f"{words}; likeliest near {near[0]}" if near else words


def _inward(plan: Plan, storey: str, at: Point) -> Point:
    """Unit vector into the building where the point is by the outline, else (0, 0)."""
    whole = unary_union([Polygon(ring) for ring in _walls(plan, storey)]
                        + [Polygon(room.polygon) for room in plan.rooms
                           if room.storey == storey])  # fmt: skip
    west, south, east, north = whole.bounds
    gaps = {(1.0, 0.0): at[0] - west, (-1.0, 0.0): east - at[0],
            (0.0, 1.0): at[1] - south, (0.0, -1.0): north - at[1]}  # fmt: skip
    inward, gap = min(gaps.items(), key=lambda item: item[1])
    return inward if gap < _AT_EDGE else (0.0, 0.0)


def _arranged(panels: list[Panel], layers: tuple[Layer, ...]) -> tuple[Panel, ...]:
    """Storeys side by side, each over what is under its floor; what is left in a last column."""
    storeys = list(dict.fromkeys(layer.storey for layer in layers))
    last, spare = len(storeys), 0
    placed: list[Panel] = []
    order = sorted(range(len(layers)), key=lambda i: layers[i].where != "over")
    for i in order:
        layer, panel = layers[i], panels[i]
        if layer.where != "view" and not layer.voids:
            continue
        column, row = storeys.index(layer.storey), 0 if layer.where == "view" else 1
        if layer.where == "over" or layer.depth > 0:
            column, row, spare = last + spare // 2, spare % 2, spare + 1
        placed.append(msgspec.structs.replace(panel, column=column, row=row))
    return tuple(sorted(placed, key=lambda panel: (panel.row, panel.column)))

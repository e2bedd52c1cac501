"""A floor or ceiling with its cuts: dimensioned from a room's corner from above, and from a datum
found on both sides, mirrored, where the saw comes from below."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from wainscot.access import CutAt
from wainscot.drawing import (
    PENCIL,
    Chain,
    Disc,
    Drawing,
    Letters,
    Shape,
    Sign,
    between,
    inwards,
    mirrored,
)
from wainscot.drawing.lengths import Way
from wainscot.drawing.model import Point, Stop, stop
from wainscot.papers.opening_sheet.elevation import run_words
from wainscot.papers.opening_sheet.geometry import areas, bounds, lines
from wainscot.papers.opening_sheet.model import Mark
from wainscot.papers.opening_sheet.patch import size
from wainscot.papers.opening_sheet.seen_flat import SeenFlat
from wainscot.papers.opening_sheet.telling import Pair, distance, mark, short
from wainscot.plan.model import ServiceRun

_AROUND = 0.35
"""Shown round the cut and its datum. [m]"""


def flat_drawing(seen: SeenFlat, key: str, title: str) -> tuple[Drawing, tuple[Mark, ...]]:
    """Return the plan of a floor or ceiling with its cuts, and the marks to make.

    Parameters
    ----------
    seen : SeenFlat
        The floor or ceiling.
    key, title : str
        Of the drawing.
    """
    frame = seen.datum.frame
    outlines = [frame.ring(one.outline) for one in seen.cuts]
    exact = [bounds(one) for one in outlines]
    sawn = all(one.sawn for one in seen.cuts)
    square = all(_is_square(ring) for ring in outlines)
    panels = [_on_tape(seen, one) if sawn and square else one for one in exact]
    window = _window(seen, panels)
    box = shapely.box(*window)
    shapes = [
        *areas("member", _local(seen, seen.members) & box),
        *lines("room", _local(seen, seen.polygon.exterior) & box),
        *_pipes(seen, box),
        *(shape for _, ring in seen.standing
          for shape in lines("fixture", _closed(frame.ring(ring)) & box)),
        *(Shape("cut" if sawn else "done", _corners(panel) if square else ring, True)
          for panel, ring in zip(panels, outlines, strict=True)),
    ]  # fmt: skip
    drawing = Drawing(
        key=key, title=title, window=window, shapes=tuple(shapes), discs=tuple(_discs(seen, box)),
        signs=(*_signs(seen, panels, sawn), *(() if square else _corner_signs(outlines))),
        letters=tuple(_names(seen, window, panels)),
        chains=_chains(seen, exact, panels, sawn), units=seen.scene.plan.units, grain=seen.grain,
        north=frame.north, about=f"{title}: measured from {seen.datum.words}.",
    )  # fmt: skip
    drawn = mirrored(drawing) if seen.looking_up else drawing
    return drawn, tuple(_marks(seen, exact, sawn, square))


def _local(seen: SeenFlat, shape: shapely.Geometry) -> shapely.Geometry:
    return shapely.transform(
        shape, lambda points: [seen.datum.frame.local((x, y)) for x, y in points]
    )


def _closed(ring: tuple[Point, ...]) -> shapely.LinearRing:
    return shapely.LinearRing(ring)


def _is_square(ring: tuple[Point, ...]) -> bool:
    west, south, east, north = bounds(ring)
    return bool(abs(shapely.Polygon(ring).area - (east - west) * (north - south)) < 1e-4)


def marked(seen: SeenFlat) -> Iterator[tuple[Pair, Pair]]:
    """Return both sizes of each cut as it is marked out, on both tapes; askew cuts as judged."""
    units = seen.scene.plan.units
    for cut in seen.cuts:
        ring = seen.datum.frame.ring(cut.outline)
        if _is_square(ring):
            west, south, east, north = bounds(ring)
            wide = between(west, east, units, seen.grain)
            yield wide, between(south, north, units, seen.grain)
        else:
            one, other = (distance(edge, units, seen.grain, "down") for edge in size(cut))
            yield one, other


def _on_tape(
    seen: SeenFlat, exact: tuple[float, float, float, float]
) -> tuple[float, float, float, float]:
    units = seen.scene.plan.units
    west, east = inwards(exact[0], exact[2], units, seen.grain)
    south, north = inwards(exact[1], exact[3], units, seen.grain)
    return (west, south, east, north)


def _corners(panel: tuple[float, float, float, float]) -> tuple[Point, ...]:
    west, south, east, north = panel
    return ((west, south), (east, south), (east, north), (west, north))


def _window(
    seen: SeenFlat, panels: Sequence[tuple[float, float, float, float]]
) -> tuple[float, float, float, float]:
    points: list[Point] = [(0.0, 0.0)]
    for west, south, east, north in panels:
        points += [(west, south), (east, north)]
    west, south, east, north = bounds(points)
    room = bounds(seen.datum.frame.ring(seen.room.polygon))
    # What a person on his knees sees round the cut; no more of the room than there is.
    return (
        max(west - _AROUND, min(room[0] - 0.05, west - 0.08)),
        max(south - _AROUND, min(room[1] - 0.05, south - 0.08)),
        min(east + _AROUND, max(room[2] + 0.05, east + 0.08)),
        min(north + _AROUND, max(room[3] + 0.05, north + 0.08)),
    )


def _pipes(seen: SeenFlat, box: shapely.Geometry) -> Iterator[Shape]:
    for run, line in seen.services:
        if line.length > run.diameter:
            yield from lines("service", _local(seen, line) & box, run.diameter)


def _discs(seen: SeenFlat, box: shapely.Geometry) -> Iterator[Disc]:
    """Yield what passes straight through as circles."""
    for run, line in seen.services:
        if line.length <= run.diameter:
            at = seen.datum.frame.local(line.coords[0][:2])
            if box.intersects(shapely.Point(at)):
                yield Disc("service", at, run.diameter / 2)


def middle(panel: tuple[float, float, float, float]) -> Point:
    """Return the middle of a cut. [m]

    Parameters
    ----------
    panel : (float, float, float, float)
        West, south, east, north. [m]
    """
    return ((panel[0] + panel[2]) / 2, (panel[1] + panel[3]) / 2)


def _signs(
    seen: SeenFlat, panels: Sequence[tuple[float, float, float, float]], sawn: bool
) -> Iterator[Sign]:
    yield Sign("pin" if seen.datum is seen.pin else "datum", (0.0, 0.0), "0")
    if sawn:
        for n, panel in enumerate(panels, 1):
            yield Sign("pilot", middle(panel), "P" if len(panels) == 1 else f"P{n}")


def _corner_signs(outlines: Sequence[tuple[Point, ...]]) -> Iterator[Sign]:
    """Letters at the corners of cuts that lie askew, a little outside."""
    for ring in outlines:
        x, y = middle(bounds(ring))
        for letter, (u, v) in zip("ABCD", ring, strict=False):
            far = math.dist((u, v), (x, y)) or 1.0
            yield Sign("corner", (u, v), letter, nudge=(3.2 * (u - x) / far, 3.2 * (v - y) / far))


def _names(
    seen: SeenFlat,
    window: tuple[float, float, float, float],
    panels: Sequence[tuple[float, float, float, float]],
) -> Iterator[Letters]:
    box = shapely.box(*window).buffer(-0.04)
    cuts = shapely.union_all([shapely.box(*panel).buffer(0.02) for panel in panels])
    for name, ring in seen.standing:
        shape = (shapely.Polygon(seen.datum.frame.ring(ring)) & box) - cuts
        if not shape.is_empty and shape.area > 0.02:
            # The middle of the widest free place, so that the cut stays clear.
            x, y = shapely.maximum_inscribed_circle(shape, tolerance=0.01).coords[0]
            yield Letters((x, y), short(name))
    told: set[str] = set()
    for run, line in seen.services:
        shape = _local(seen, line) & box - cuts
        if run.id not in told and not shape.is_empty:
            told.add(run.id)
            at = shape.representative_point()
            left = at.x < (window[0] + window[2]) / 2
            yield Letters((at.x, at.y), short(run.name or run.type), "start" if left else "end",
                          nudge=(1.5 if left else -1.5, 2.6))  # fmt: skip


def _chains(
    seen: SeenFlat,
    exact: Sequence[tuple[float, float, float, float]],
    panels: Sequence[tuple[float, float, float, float]],
    sawn: bool,
) -> tuple[Chain, ...]:
    window = _window(seen, panels)
    across, upright = [stop(0.0, 0.0, seen.grain)], [stop(0.0, 0.0, seen.grain)]
    ways: tuple[Way, Way] = ("up", "down") if sawn else ("nearest", "nearest")
    for one, drawn in zip(exact, panels, strict=True):
        for end, way in ((0, ways[0]), (2, ways[1])):
            across.append(stop(drawn[end], one[end], seen.grain, way))
            upright.append(stop(drawn[end + 1], one[end + 1], seen.grain, way))
    return (
        Chain("x", _ordered(across), window[1], -1),
        Chain("y", _ordered(upright), window[2], 1),
    )


def _ordered(stops: Sequence[Stop]) -> tuple[Stop, ...]:
    found = {round(one.at, 5): one for one in sorted(stops, key=lambda one: one.at)}
    return tuple(found[at] for at in sorted(found))


def _marks(
    seen: SeenFlat,
    exact: Sequence[tuple[float, float, float, float]],
    sawn: bool,
    square: bool,
) -> Iterator[Mark]:
    units, grain = seen.scene.plan.units, seen.grain
    if not sawn:
        yield mark("whole, width", "wall to wall", exact[0][2] - exact[0][0], units, grain)
        yield mark("whole, length", "wall to wall", exact[0][3] - exact[0][1], units, grain)
        return
    for n, panel in enumerate(exact, 1):
        of = f", cut {n}" if len(exact) > 1 else ""
        if not square:
            yield from _slanted(seen, seen.cuts[n - 1], of)
        else:
            yield from _edges(seen, panel, of)
        at = middle(panel)
        yield _point("pilot hole P" + of, at, seen)
    if seen.riser is not None and seen.riser is not seen.datum:
        at = seen.datum.frame.local(seen.riser.frame.origin)
        name = seen.riser.words.removeprefix("the middle of the ")
        yield _point(f"check: {short(name, 14)}", at, seen)


def _edges(seen: SeenFlat, panel: tuple[float, float, float, float], of: str) -> Iterator[Mark]:
    """The four saw lines; of two on one side of the datum the nearer first."""
    for axis in (0, 1):
        low, high = panel[axis], panel[axis + 2]
        edges: list[tuple[float, Way]] = [(low, "up"), (high, "down")]
        names = ["nearer", "farther"] if low * high >= 0 else ["one", "other"]
        for name, (edge, way) in zip(
            names, sorted(edges, key=lambda one: abs(one[0])), strict=True
        ):
            word = seen.datum.ways[axis][0 if edge >= 0 else 1]
            yield mark(f"{name} saw line{of}", word, edge, seen.scene.plan.units, seen.grain, way)


def _slanted(seen: SeenFlat, cut: CutAt, of: str) -> Iterator[Mark]:
    """Corners of a cut that lies askew to the walls, each with both distances."""
    for letter, point in zip("ABCD", cut.outline, strict=False):
        yield _point(f"corner {letter}{of}", seen.datum.frame.local(point), seen)


def _point(what: str, at: Point, seen: SeenFlat) -> Mark:
    units, grain = seen.scene.plan.units, seen.grain
    words = " / ".join(
        seen.datum.ways[axis][0 if value >= 0 else 1] for axis, value in enumerate(at)
    )
    pairs = [distance(value, units, grain) for value in at]
    first, second = (" / ".join(pair[i] for pair in pairs) for i in (0, 1))
    return Mark(what, words, first, second, strong=False)


def beside(seen: SeenFlat) -> Iterator[str]:
    """Return the joists and services beside the cuts, with their distances."""
    units = seen.scene.plan.units
    for n, cut in enumerate(seen.cuts, 1):
        of = f" of cut {n}" if len(seen.cuts) > 1 else ""
        area = shapely.Polygon(cut.outline)
        if not seen.members.is_empty and cut.sawn:
            gap = float(shapely.distance(seen.members, area))
            where = "the saw lines lie on their faces" if gap < 0.008 else (
                f"{distance(gap, units, PENCIL)[0]} from the nearest saw line")  # fmt: skip
            yield f"joists{of}: {where}"
        nearest: dict[str, tuple[float, ServiceRun]] = {}
        for run, line in seen.services:
            gap = float(shapely.distance(line, area)) - run.diameter / 2
            if gap < 1.0 and (run.id not in nearest or gap < nearest[run.id][0]):
                nearest[run.id] = (gap, run)
        for key in sorted(nearest, key=lambda one: (nearest[one][0], one)):
            gap, run = nearest[key]
            yield run_words(run, gap if cut.sawn else None, units, of)

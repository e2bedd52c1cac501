"""One panel as SVG: walls, bare rooms, hidden voids, ways in, likely runs, marks, plates.

Order is from the ground up: what must never be covered (plates, marks) comes last.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict

from shapely.geometry import Point as Mark
from shapely.geometry import Polygon
from shapely.ops import unary_union

from wainscot import chance
from wainscot.picture import tokens
from wainscot.picture.canvas import (
    PLATE_HEIGHT,
    Canvas,
    filled,
    outline_path,
    plate,
    plate_width,
    rectangle,
    void_outline,
    words,
)  # fmt: skip
from wainscot.picture.labels import Box, Placer, around
from wainscot.picture.sheet import (
    EntryShape,
    Panel,
    Point,
    RibbonShape,
    Ring,
    RoomShape,
    SignShape,
    VoidShape,
)  # fmt: skip
from wainscot.picture.svg import element, escape, path, text_width
from wainscot.picture.symbols import (
    arrow_ring,
    bowl,
    chevrons,
    seal_mark,
    seal_size,
    sign_mark,
    tick,
    wedge,
)
from wainscot.picture.wording import in_ten

_FILLS = {"can't tell yet": "url(#rings)", "given up": "url(#given-up)"}
_SPREAD = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9, 0.05, 0.95)
_WITHIN = 0.6  # share of a void that lies in an opening, from which it stands over it [1]
_TOUCH = 0.01  # a mark this near a room's outline lies in it [m]
_MOST_OWN = 4  # told voids of one wall or floor that still get a plate each


def draw_panel(panel: Panel, canvas: Canvas, frame: Box, *, nest: bool = False) -> str:
    """Return the markup of one panel.

    Parameters
    ----------
    panel : Panel
        What it shows.
    canvas : Canvas
        Where and how large.
    frame : Box
        The part of the sheet that plates must stay in. [px]
    nest : bool
        Whether likely nests get their bowl mark.
    """
    placer = Placer(frame)
    under = _ground(panel, canvas)
    over_gaps = [shape for shape in panel.voids if _over_gap(shape, panel)]
    under += [_void(shape, canvas) for shape in panel.voids if shape not in over_gaps]
    # Openings lie over the wall's own voids: a cavity ends at a door and runs on under a window.
    under += [_gap(gap.kind, canvas.ring(gap.ring), canvas) for gap in panel.gaps]
    under += [_void(shape, canvas) for shape in over_gaps]
    under += _fixtures(panel, canvas)
    ribbons = [_ribbon(ribbon, canvas) for ribbon in panel.ribbons]
    for ribbon in panel.ribbons:
        placer.take(Box(*canvas.xy(ribbon.line[-1]), 27, 27))
        for x, y in _along(canvas.ring(ribbon.line)):
            placer.take(Box(x, y, 6, 6))
    over = [_wedge(entry, canvas, placer) for entry in panel.entries]
    over += [_sign(sign, panel, canvas, placer) for sign in panel.signs]
    over += _seals(panel, canvas, placer)
    over += [_entry_plate(entry, canvas, placer) for entry in panel.entries]
    over += [_run_plate(ribbon, canvas, placer) for ribbon in panel.ribbons if ribbon.begins]
    for gap in panel.gaps:
        placer.take(_box(canvas.ring(gap.ring)))
    over += _void_plates(panel, canvas, placer, nest)
    for fixture in panel.fixtures:
        placer.take(_box(canvas.ring(fixture.ring)))
    # Names take what room is left, and lie under everything that is written for the job.
    names = [_room_name(room, canvas, placer) for room in panel.rooms]
    return element("g", {}, *under, *names, *ribbons, *over)


def _wedge(entry: EntryShape, canvas: Canvas, placer: Placer) -> str:
    x, y = canvas.xy(entry.at)
    placer.take(Box(x - 12 * entry.inward[0], y + 12 * entry.inward[1], 26, 26))
    return wedge(x, y, entry.inward, entry.chance, canvas.theme)


def _seals(panel: Panel, canvas: Canvas, placer: Placer) -> list[str]:
    """Marks of places to close; lines from those that gave way lie under all of them."""
    lines, marks = [], []
    for seal in panel.seals:
        x, y = canvas.xy(seal.at)
        width, high = seal_size(seal)
        spot = placer.place(around(x, y, width, high), width + 4, high + 4)
        if math.hypot(spot.x - x, spot.y - y) > high / 2:
            lines.append(_leader((x, y), spot, canvas) + _dot(x, y, canvas))
        drawn = seal_mark(spot.x, spot.y, seal, canvas.theme)
        said = element("title", {}, escape(f"{seal.label}: {seal.words}"))
        marks.append(element("g", {}, said, drawn))
    return [*lines, *marks]


def _dot(x: float, y: float, canvas: Canvas) -> str:
    return element("circle", {"cx": x, "cy": y, "r": 3.5, "fill": canvas.theme.ink})


def _box(points: list[Point]) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    west, east, north, south = min(xs), max(xs), min(ys), max(ys)
    return Box((west + east) / 2, (north + south) / 2, east - west, south - north)


def _ground(panel: Panel, canvas: Canvas) -> list[str]:
    theme = canvas.theme
    ghost = path(canvas.ring(ring) for ring in panel.beneath)
    walls = path(canvas.ring(ring) for ring in panel.walls)
    parts = [element("path", {
        "d": walls, "fill": theme.well, "stroke": theme.ink, "stroke-width": tokens.OUTLINE,
        "fill-rule": "evenodd",
    })] if walls else []  # fmt: skip
    if ghost:
        parts.insert(0, element("path", {"d": ghost, "fill": "none", "stroke": theme.line,
                                         "stroke-dasharray": "3 4"}))  # fmt: skip
    parts += [element("path", {"d": path([canvas.ring(room.ring)]), "fill": theme.paper,
                               "stroke": theme.ink, "stroke-width": 1.0})
              for room in panel.rooms]  # fmt: skip
    return parts


def _over_gap(shape: VoidShape, panel: Panel) -> bool:
    """True for a void that has no other place in the view than over an opening: over a door."""
    outline = Polygon(shape.ring)
    return any(outline.intersection(Polygon(gap.ring)).area > _WITHIN * outline.area
               for gap in panel.gaps)  # fmt: skip


def _gap(kind: str, ring: list[Point], canvas: Canvas) -> str:
    theme = canvas.theme
    d = path([ring])
    fill = "none" if kind == "window" else theme.paper
    parts = [element("path", {"d": d, "fill": fill, "stroke": theme.ink,
                              "stroke-width": 1.0})]  # fmt: skip
    if kind == "window":
        a, b, c, d_ = ring[:4]
        ends = ((a, d_), (b, c)) if math.dist(a, b) > math.dist(b, c) else ((c, d_), (a, b))
        middle = [((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in ends]
        parts.append(element("path", {"d": path([middle], close=False), "fill": "none",
                                      "stroke": theme.ink, "stroke-width": 1.0}))  # fmt: skip
    return "".join(parts)


def _fixtures(panel: Panel, canvas: Canvas) -> list[str]:
    theme = canvas.theme
    parts = [element("path", {"d": path([canvas.ring(each.ring)]), "fill": "none",
                              "stroke": theme.line, "stroke-width": 1.0},
                     element("title", {}, escape(each.name)))
             for each in panel.fixtures]  # fmt: skip
    return parts + [element("path", {
        "d": path([canvas.ring(run.line)], close=False), "fill": "none",
        "stroke": theme.line, "stroke-width": 3.0,
        "stroke-dasharray": "9 5" if run.disused else None,
    }, element("title", {}, escape(run.name))) for run in panel.services]  # fmt: skip


def _void(shape: VoidShape, canvas: Canvas) -> str:
    if shape.hidden_by:
        return ""
    theme = canvas.theme
    points = canvas.ring(shape.ring)
    d = outline_path(points)
    if shape.state == "chance":
        drawn = filled(d, chance.class_of(shape.chance), theme)
    else:
        fill = _FILLS.get(shape.state) or theme.paper
        drawn = element("path", {"d": d, "fill": fill, "stroke": theme.ink,
                                 "stroke-width": tokens.OUTLINE})  # fmt: skip
    mark = tick(void_outline(points)[0], shape.looked, theme) if shape.looked > 0 else ""
    return element("g", {}, element("title", {}, escape(_said(shape))), drawn, mark)


def _said(shape: VoidShape) -> str:
    """The void in words, for a pointer at rest or a reader's voice."""
    said = f"{shape.label}, {shape.words}"
    if shape.state == "not shown":
        return said
    if shape.state != "chance":
        return f"{said}: {shape.state}"
    if shape.seen:
        return f"{said}: seen, {shape.seen}"
    return f"{said}: {chance.word(shape.chance)}, {chance.percent(shape.chance)} in 100"


def _ribbon(ribbon: RibbonShape, canvas: Canvas) -> str:
    theme = canvas.theme
    width = tokens.RIBBON_WIDTHS[sum(ribbon.share >= bound for bound in tokens.RIBBON_SHARES)]
    points = canvas.ring(ribbon.line)
    parts = []
    if len(points) > 1:
        d = path([points], close=False)
        for stroke, wide in ((theme.paper, width + 2 * tokens.CASING), (theme.ribbon, width)):
            parts.append(element("path", {
                "d": d, "fill": "none", "stroke": stroke, "stroke-width": wide,
                "stroke-linejoin": "round", "stroke-linecap": "round",
            }))  # fmt: skip
        parts.append(chevrons(points, width, theme))
    x, y = points[-1]
    parts.append(arrow_ring(x, y, ribbon.rises, ribbon.letter, theme))
    return element("g", {}, *parts)


def _along(points: list[Point]) -> list[Point]:
    """Points every few pixels of a line, so that plates keep off it where they can."""
    found: list[Point] = []
    for start, end in itertools.pairwise(points):
        count = int(math.hypot(end[0] - start[0], end[1] - start[1]) // 8) + 1
        found += [(start[0] + (end[0] - start[0]) * i / count,
                   start[1] + (end[1] - start[1]) * i / count) for i in range(count)]  # fmt: skip
    return found


def _run_plate(ribbon: RibbonShape, canvas: Canvas, placer: Placer) -> str:
    points = canvas.ring(ribbon.line)
    figure, label = ribbon.letter, in_ten(ribbon.share)
    width = plate_width(figure, label)
    middle = points[len(points) // 2] if len(points) > 2 else _between(points[0], points[-1])
    spot = placer.place(around(*middle, width, PLATE_HEIGHT), width, PLATE_HEIGHT)
    return plate(figure, label, spot.x, spot.y, canvas.theme, edge=canvas.theme.ribbon)


def _between(one: Point, other: Point) -> Point:
    return ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)


def _sign(sign: SignShape, panel: Panel, canvas: Canvas, placer: Placer) -> str:
    x, y = canvas.xy(sign.at)
    side = tokens.MARK + (20 if sign.unexplained else 4)
    region = _region(sign.at, panel)
    near = around(x, y, side, side)
    if region is not None:
        # A mark that gives way stays in its room: outside the wall it would say something else.
        shape = Polygon(canvas.ring(region))
        near = [near[0], *(spot for spot in near[1:] if shape.contains(Mark(spot)))]
    spot = placer.place(near, side, side)
    drawn = sign_mark(spot.x, spot.y, sign, canvas.theme, zone=sign.radius * canvas.scale,
                      centre=(x, y))  # fmt: skip
    return element("g", {}, element("title", {}, escape(sign.words)), drawn)


def _region(at: Point, panel: Panel) -> Ring | None:
    """The room that a point lies in, else the outline of the walls, else None: out of doors."""
    for room in panel.rooms:
        if Polygon(room.ring).distance(Mark(at)) < _TOUCH:
            return room.ring
    rings = [*panel.walls, *(room.ring for room in panel.rooms)]
    whole = unary_union([Polygon(ring) for ring in rings])
    for part in getattr(whole, "geoms", [whole]):
        if part.distance(Mark(at)) < _TOUCH:
            return tuple(part.exterior.coords)
    return None


def _entry_plate(entry: EntryShape, canvas: Canvas, placer: Placer) -> str:
    figure = chance.percent(entry.chance) if entry.chance is not None else ""
    width = plate_width(entry.label, figure)
    x, y = canvas.xy(entry.at)
    out_x, out_y = -entry.inward[0], entry.inward[1]
    candidates = [
        (x + out_x * (30 + width / 2) + dx, y + out_y * (34 + PLATE_HEIGHT / 2) + dy)
        for dx, dy in ((0, 0), (0, 20), (0, -20), (20, 0), (-20, 0))
    ] + around(x, y + 28, width, PLATE_HEIGHT)
    spot = placer.place(candidates, width, PLATE_HEIGHT)
    return plate(entry.label, figure, spot.x, spot.y, canvas.theme)


def _void_plates(panel: Panel, canvas: Canvas, placer: Placer, nest: bool) -> list[str]:
    """Own plates where they fit and are few; else one plate for those of one wall and class."""
    groups: dict[str, list[VoidShape]] = defaultdict(list)
    for shape in panel.voids:
        if _told(shape):
            groups[shape.group].append(shape)
    parts = []
    for group in groups.values():
        few = len(group) <= _MOST_OWN
        alone = [shape for shape in group if few and _fits(shape, canvas)]
        together = [shape for shape in group if shape not in alone]
        shared = [[shape] for shape in alone] + _by_class(together, few)
        parts += [_void_plate(members, canvas, placer, nest) for members in shared]
    return parts


def _by_class(shapes: list[VoidShape], few: bool) -> list[list[VoidShape]]:
    """Shapes that share a plate, the likeliest first: all of them, or by class where many."""
    classes: dict[tuple[str, str, int], list[VoidShape]] = defaultdict(list)
    for shape in sorted(shapes, key=lambda each: -each.chance):
        level = 0 if few or shape.state != "chance" else chance.class_of(shape.chance)
        classes["" if few else shape.state, "" if few else shape.seen, level].append(shape)
    return list(classes.values())


def _told(shape: VoidShape) -> bool:
    if shape.state == "not shown":
        return False
    if shape.seen or shape.state == "can't tell yet":
        return not shape.hidden_by
    return shape.state == "chance" and chance.class_of(shape.chance) > 0


def _plate_words(members: list[VoidShape]) -> tuple[str, str]:
    """The greatest number and its label; where several share the plate, how many are as likely."""
    first = members[0]
    if first.seen:
        return "seen", f"{first.seen} {first.label}"
    if first.state == "can't tell yet":
        return "?", first.label
    figure = chance.percent(first.chance)
    same = [each for each in members
            if chance.class_of(each.chance) == chance.class_of(first.chance)]  # fmt: skip
    if len(same) > 1:
        return figure, f"- {len(same)} {chance.word(first.chance)}"
    return figure, first.label


def _void_plate(members: list[VoidShape], canvas: Canvas, placer: Placer, nest: bool) -> str:
    figure, label = _plate_words(members)
    width = plate_width(figure, label)
    x, y = _middle(members[0], canvas)
    spot = placer.place(around(x, y, width, PLATE_HEIGHT), width, PLATE_HEIGHT)
    drawn = plate(figure, label, spot.x, spot.y, canvas.theme)
    if math.hypot(spot.x - x, spot.y - y) > PLATE_HEIGHT:
        drawn = _leader((x, y), spot, canvas) + drawn
    if nest and chance.class_of(members[0].chance) >= 2:
        drawn += bowl(spot.x + width / 2 + 10, spot.y, canvas.theme)
    return drawn


def _leader(start: Point, spot: Box, canvas: Canvas) -> str:
    line = path([[start, (spot.x, spot.y)]], close=False)
    return element("path", {"d": line, "stroke": canvas.theme.ink, "stroke-width": 1.0,
                            "fill": "none"})  # fmt: skip


def _fits(shape: VoidShape, canvas: Canvas) -> bool:
    if shape.hidden_by:
        return False
    xs = [x for x, _ in canvas.ring(shape.ring)]
    ys = [y for _, y in canvas.ring(shape.ring)]
    return (max(xs) - min(xs) >= plate_width(">95", shape.label) + 4
            and max(ys) - min(ys) >= PLATE_HEIGHT + 4)  # fmt: skip


def _middle(shape: VoidShape, canvas: Canvas) -> Point:
    points = canvas.ring(shape.ring)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _room_name(room: RoomShape, canvas: Canvas, placer: Placer) -> str:
    points = canvas.ring(room.ring)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    width, x, y = text_width(room.name, tokens.TEXT), min(xs), min(ys)
    across, down = max(xs) - x, max(ys) - y
    candidates = [
        (x + fx * across, y + fy * down)
        for fy in _SPREAD for fx in _SPREAD
        if min(fx, 1 - fx) * across >= width / 2 and min(fy, 1 - fy) * down >= 12
    ] or [(x + across / 2, y + down / 2)]  # fmt: skip
    spot = placer.place(candidates, width, 18)
    ground = rectangle(spot.x - width / 2, spot.y - 9, width, 18, fill=canvas.theme.paper, corner=2)
    name = words(
        room.name, spot.x, spot.y + 5.7, canvas.theme, anchor="middle", colour=canvas.theme.ink_2
    )
    return ground + name

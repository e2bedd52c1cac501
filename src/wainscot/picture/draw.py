"""The whole picture: title, panels, and beside them what it says in words, and the key.

    svg = draw(sheet, theme="night")

The result is one SVG text without scripts, links or outside files; the same sheet gives the same
text.  ``picture.svg#view-1-0`` shows the panel in column 1, row 0 alone, for a narrow screen.

Limits: sizes are for a landscape page or a wide screen; letters stand in whatever sans face the
reader's machine has, so widths are guessed on the safe side.
"""

from __future__ import annotations

from wainscot.picture import tokens
from wainscot.picture.canvas import (
    Canvas,
    given_up_definition,
    hatch_definitions,
    rectangle,
    words,
)
from wainscot.picture.key import draw_key
from wainscot.picture.labels import Box
from wainscot.picture.panel import draw_panel
from wainscot.picture.sheet import Line, Panel, Sheet
from wainscot.picture.svg import cut, element, escape, number, path, text_width, wrap
from wainscot.picture.tokens import THEMES, Theme

_MARGIN = 32.0
_PAD = 62.0  # plan to panel edge: room for wedges and their plates
_HEAD = 56.0  # a panel's title and subtitle
_SIDE = 400.0  # column of words
_WIDEST, _HIGHEST = 440.0, 560.0

SHOWN: dict[str, tuple[str, str]] = {
    "soiled": ("Soiled", "droppings, urine, nest or carcass were ever left here (then or now)"),
    "in-use": ("In use now", "animals move through it now"),
    "nest": ("Nest", "a nest was ever built here (then or now)"),
    "entries": ("Entry points", "animals ever came in here (then or now)"),
    "seals": ("Seal map", "what to close so that no drawn path leads in, mouse and rat"),
}
"""What the fill shows, and whether it speaks of then or of now."""


def draw(sheet: Sheet, theme: tokens.ThemeName = "day") -> str:
    """Return the picture as SVG text.

    Parameters
    ----------
    sheet : Sheet
        What to show.
    theme : str
        ``day`` (and print) or ``night``.
    """
    colours = THEMES[theme]
    bounds = _bounds(sheet)
    scale = _scale(bounds)
    wide = (bounds[2] - bounds[0]) * scale + 2 * _PAD
    high = (bounds[3] - bounds[1]) * scale + 2 * _PAD + _HEAD
    columns = 1 + max((panel.column for panel in sheet.panels), default=0)
    rows = 1 + max((panel.row for panel in sheet.panels), default=0)
    title, top = _title(sheet, colours, columns * wide)
    side, side_height = _side(sheet, colours, _MARGIN + columns * wide + 24, top)
    width = _MARGIN * 2 + columns * wide + 24 + _SIDE
    under = top + rows * high
    key, key_end = draw_key(sheet, colours, _MARGIN + _PAD, under + 56, columns * wide - _PAD)
    height = max(key_end, side_height) + _MARGIN
    parts = [title]
    for panel in sheet.panels:
        left, upper = _MARGIN + panel.column * wide, top + panel.row * high
        parts.append(_panel(panel, sheet, colours, bounds, scale, left, upper, wide, high))
    parts.append(_measure(sheet, colours, scale, _MARGIN + _PAD, under))
    parts += [key, side]
    return element("svg", {
        "xmlns": "http://www.w3.org/2000/svg", "width": number(width), "height": number(height),
        "viewBox": f"0 0 {number(width)} {number(height)}", "font-family": tokens.FONT,
        "font-size": number(tokens.TEXT), "style": "font-variant-numeric: tabular-nums",
        "role": "img", "aria-labelledby": "title about",
    }, element("title", {"id": "title"}, escape(f"{sheet.title}: {SHOWN[sheet.shows][0]}")),
       element("desc", {"id": "about"}, escape(sheet.verdict or "Not calculated.")),
       hatch_definitions(colours),
       given_up_definition(colours) if sheet.shows == "seals" else "",
       rectangle(0, 0, width, height, fill=colours.paper),
       *parts) + "\n"  # fmt: skip


def _bounds(sheet: Sheet) -> tuple[float, float, float, float]:
    """West, south, east, north of everything but the service runs. [m]"""
    points = [point for panel in sheet.panels for ring in (
        *panel.walls, *(room.ring for room in panel.rooms), *(each.ring for each in panel.voids),
        *((entry.at,) for entry in panel.entries), *((seal.at,) for seal in panel.seals),
    ) for point in ring]  # fmt: skip
    if not points:
        return (0.0, 0.0, 4.0, 4.0)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs), min(ys), max(xs), max(ys))


def _scale(bounds: tuple[float, float, float, float]) -> float:
    across, up = max(0.5, bounds[2] - bounds[0]), max(0.5, bounds[3] - bounds[1])
    return min(110.0, max(30.0, min(_WIDEST / across, _HIGHEST / up)))


def _panel(
    panel: Panel, sheet: Sheet, theme: Theme, bounds: tuple[float, float, float, float],
    scale: float, left: float, top: float, wide: float, high: float,
) -> str:  # fmt: skip
    canvas = Canvas(theme, scale, left + _PAD - bounds[0] * scale,
                    top + _HEAD + _PAD + bounds[3] * scale)  # fmt: skip
    room = wide - _PAD
    name = cut(panel.title, tokens.HEAD, room, strong=True)
    heading = words(name, left + _PAD, top + 22, theme, size=tokens.HEAD, strong=True)
    told = cut(panel.subtitle, tokens.TEXT, room)
    under = words(told, left + _PAD, top + 43, theme, colour=theme.ink_2)
    if panel.undrawn:
        missing = f"not drawn yet: {', '.join(panel.undrawn)}"
        for i, line in enumerate(wrap(missing, tokens.TEXT, room)):
            under += words(line, left + _PAD, top + 65 + 20 * i, theme, colour=theme.ink_2)
    frame = Box(left + wide / 2, top + _HEAD + (high - _HEAD) / 2, wide, high - _HEAD)
    clip = f"panel-{panel.column}-{panel.row}"
    hole = rectangle(left, top + _HEAD - 8, wide, high - _HEAD + 8, fill="#000")
    window = element("clipPath", {"id": clip}, hole)
    drawn = draw_panel(panel, canvas, frame, nest=sheet.shows == "nest")
    near = element("view", {"id": f"view-{panel.column}-{panel.row}",
                            "viewBox": " ".join(map(number, (left, top, wide, high)))})  # fmt: skip
    return near + heading + under + window + element("g", {"clip-path": f"url(#{clip})"}, drawn)


def _title(sheet: Sheet, theme: Theme, width: float) -> tuple[str, float]:
    shown, means = SHOWN[sheet.shows]
    y = _MARGIN + 26
    parts = []
    for n, each in enumerate(wrap(sheet.title, tokens.TITLE, width, strong=True)):
        y += 34 if n else 0
        parts.append(words(each, _MARGIN + _PAD, y, theme, size=tokens.TITLE, strong=True))
    line = f"{shown}: {'' if sheet.shows == 'seals' else 'how likely it is that '}{means}."
    if not sheet.calculated:
        line = "Not calculated: outlines only."
    if sheet.date:
        line += f" {sheet.date}."
    for each in wrap(line, 18, width):
        y += 27
        parts.append(words(each, _MARGIN + _PAD, y, theme, size=18))
    return "".join(parts), y + 28


def _side(sheet: Sheet, theme: Theme, left: float, top: float) -> tuple[str, float]:
    """The column of words, and how far down it goes."""
    parts: list[str] = []
    y = top + 22
    if sheet.verdict:
        for line in wrap(sheet.verdict, 18, _SIDE):
            parts.append(words(line, left, y, theme, size=18))
            y += 25
        y += 14
    blocks = (("Next check", sheet.next), ("Soiled, likeliest first", sheet.first),
              ("Ways in (ever used)", sheet.ways_in), ("Likely runs", sheet.runs),
              ("Part at once (hours)", sheet.part), ("Close (hours)", sheet.close),
              ("Stays open all the same", sheet.stays_open))  # fmt: skip
    for heading, lines in blocks:
        if lines:
            block, y = _list(heading, lines, theme, left, y)
            parts.append(block)
    for note in sheet.notes:
        for line in wrap(note, tokens.TEXT, _SIDE):
            parts.append(words(line, left, y, theme, colour=theme.ink_2))
            y += 22
        y += 6
    return "".join(parts), y


def _list(
    heading: str, lines: tuple[Line, ...], theme: Theme, left: float, y: float
) -> tuple[str, float]:
    parts = [words(heading, left, y + 4, theme, size=tokens.HEAD, strong=True)]
    y += 32
    first = _column([line.label for line in lines], 10)
    start, indent = left + first, first + _column([line.number for line in lines], 12)
    for line in lines:
        parts.append(words(line.label, left, y, theme, strong=True))
        parts.append(words(line.number, start, y, theme, strong=True))
        for row in wrap(line.words, tokens.TEXT, _SIDE - indent):
            parts.append(words(row, left + indent, y, theme))
            y += 22
        y += 6
    return "".join(parts), y + 14


def _column(texts: list[str], gap: float) -> float:
    """Width of a column with a gap behind it, 0 where all of it is empty."""
    widest = max(text_width(text, tokens.TEXT, strong=True) for text in texts)
    return widest + gap if any(texts) else 0.0


def _measure(sheet: Sheet, theme: Theme, scale: float, x: float, y: float) -> str:
    """Scale bar and north arrow."""
    if sheet.units == "ft-in":
        step, count, unit = 0.3048 * 2, 3, "ft"
        marks = ["0", "2", "4", "6"]
    else:
        step, count, unit = 0.5, 4, "m"
        marks = ["0", "", "1", "", "2"]
    parts = [
        rectangle(x + i * step * scale, y, step * scale, 8, stroke=theme.ink,
                  fill=theme.ink if i % 2 == 0 else theme.paper)
        for i in range(count)
    ]  # fmt: skip
    for i, mark in enumerate(marks):
        said = f"{mark} {unit}" if i == count else mark
        parts.append(words(said, x + i * step * scale, y + 26, theme, anchor="middle"))
    n = x + count * step * scale + 56
    needle = path([[(n, y - 12), (n + 8, y + 14), (n, y + 8), (n - 8, y + 14)]])
    parts.append(element("path", {"d": needle, "fill": theme.ink}))
    parts.append(words("N", n + 14, y + 6, theme, strong=True))
    return "".join(parts)

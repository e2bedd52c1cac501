"""A drawing as one SVG text, a millimetre of paper to a millimetre, readable in grey.

Copper is what is done (the cut, its pilot hole), ink what stands there, light indigo the void that
is reached.

Limits: letters stand in whatever sans face the reader has; their widths are guessed on the safe
side.
"""

from __future__ import annotations

import math

from wainscot.drawing import signs
from wainscot.drawing.chains import chain_svg
from wainscot.drawing.layout import Paper, on_paper, scale_words
from wainscot.drawing.model import SMALL, TEXT, Disc, Drawing, Letters, Shape
from wainscot.drawing.pen import UNIT, letters, line, ring_path
from wainscot.picture.svg import element, escape, number, text_width, wrap
from wainscot.picture.tokens import DAY

FONT = (
    "'DejaVu Sans Condensed', 'DejaVu Sans', system-ui, -apple-system, 'Segoe UI', Roboto, "
    "'Noto Sans', sans-serif"
)

_ORDER = ("void", "board", "member", "room", "outline", "clear", "fixture", "service", "done",
          "cut")  # fmt: skip
_STYLE: dict[str, dict[str, str | float | None]] = {
    "room": {"fill": "none", "stroke": DAY.ink, "stroke-width": 0.5},
    "outline": {"fill": "none", "stroke": DAY.line, "stroke-width": 0.25},
    "member": {"fill": "url(#timber)", "stroke": DAY.ink, "stroke-width": 0.25},
    "board": {"fill": "url(#board)", "stroke": DAY.ink, "stroke-width": 0.3},
    "clear": {"fill": "none", "stroke": DAY.line, "stroke-width": 0.3, "dash": "0.6 1"},
    "fixture": {"fill": "none", "stroke": DAY.ink, "stroke-width": 0.35, "dash": "2.4 1.2"},
    "void": {"fill": DAY.fills[0], "stroke": "none"},
    "done": {"fill": "none", "stroke": DAY.copper, "stroke-width": 0.6, "dash": "2.4 1.2"},
    "cut": {"fill": "url(#cut)", "stroke": DAY.copper, "stroke-width": 0.9},
}
_THINNEST_PIPE = 1.0
FOOT = 5.0
"""Under the drawing: scale, north. [mm]"""


def as_svg(drawing: Drawing, *, ground: bool = True) -> str:
    """Return a drawing as SVG text.

    Parameters
    ----------
    drawing : Drawing
        The drawing.
    ground : bool
        False leaves out the white ground and the note, where the drawing stands on a page.

    Returns
    -------
    str
        No scripts, no links, no outside files.
    """
    paper = on_paper(drawing)
    width, height = _size(drawing, paper)
    width = max(width, 88.0) if ground and drawing.note else width
    foot = height
    alone = wrap(drawing.note, SMALL, width - 2.0) if ground else []
    height += 4.4 * len(alone)
    parts = [_shape(one, paper) for layer in _ORDER for one in drawing.shapes if one.layer == layer]
    parts += [_disc(one, paper) for one in drawing.discs]
    parts += [chain_svg(one, drawing, paper) for one in drawing.chains]
    parts += [_words(one, paper) for one in drawing.letters]
    parts += [signs.sign(one, paper) for one in drawing.signs]
    parts.append(_foot(drawing, paper, foot))
    parts += [
        letters(line_of, 1.0, foot + 3.2 + 4.4 * n, size=SMALL, strong=True)
        for n, line_of in enumerate(alone)
    ]
    white = element("rect", {"width": width * UNIT, "height": height * UNIT, "fill": "#FFFFFF"})
    return element("svg", {
        "xmlns": "http://www.w3.org/2000/svg",
        "width": f"{number(width)}mm", "height": f"{number(height)}mm",
        "viewBox": f"0 0 {number(width * UNIT)} {number(height * UNIT)}",
        "font-family": FONT, "font-stretch": "condensed", "font-size": SMALL * UNIT,
        "role": "img", "aria-labelledby": "title about",
    }, element("title", {"id": "title"}, escape(drawing.title)),
       element("desc", {"id": "about"}, escape(drawing.about or drawing.title)),
       _hatches(), white if ground else "", *parts) + "\n"  # fmt: skip


def _rectangle(width: float, height: float, fill: str) -> str:
    size = {"width": width * UNIT, "height": height * UNIT}
    return element("rect", {**size, "fill": fill})


def _hatches() -> str:
    def pattern(name: str, step: float, width: float, colour: str, under: str, turn: int) -> str:
        return element("pattern", {
            "id": name, "width": step * UNIT, "height": step * UNIT,
            "patternUnits": "userSpaceOnUse", "patternTransform": f"rotate({turn})",
        }, _rectangle(step, step, under), _rectangle(width, step, colour))  # fmt: skip

    return element(
        "defs", {},
        pattern("timber", 1.6, 0.15, DAY.line, DAY.well, 45),
        pattern("board", 1.0, 0.3, DAY.line, "#FFFFFF", -45),
        pattern("cut", 2.2, 0.35, DAY.copper, "#FFFFFF", 45),
    )  # fmt: skip


def _shape(one: Shape, paper: Paper) -> str:
    if one.layer == "service":
        return _pipe(one, paper)
    style = _STYLE[one.layer]
    dash = style.get("dash")
    rings = [one.points, *one.holes]
    fill = style["fill"] if one.closed else "none"
    return element("path", {
        "d": ring_path([[paper.xy(p) for p in ring] for ring in rings], close=one.closed),
        "fill": fill, "fill-rule": "evenodd" if one.holes else None,
        "stroke": style["stroke"], "stroke-width": _thick(style.get("stroke-width")),
        "stroke-dasharray": None if dash is None else _dashes(str(dash)),
    })  # fmt: skip


def _thick(width: str | float | None) -> float | None:
    return None if width is None else float(width) * UNIT


def _dashes(dash: str) -> str:
    return " ".join(number(float(part) * UNIT) for part in dash.split())


def _pipe(one: Shape, paper: Paper) -> str:
    """Two lines as wide apart as the pipe, so that it reads as one in grey too."""
    wide = max(paper.long(one.width), _THINNEST_PIPE)
    points = [paper.xy(p) for p in one.points]
    outer = line(points, DAY.ink, wide)
    return outer + line(points, "#FFFFFF", wide - 0.6)


def _disc(one: Disc, paper: Paper) -> str:
    x, y = paper.xy(one.centre)
    return element("circle", {
        "cx": x * UNIT, "cy": y * UNIT,
        "r": max(paper.long(one.radius), _THINNEST_PIPE / 2) * UNIT,
        "fill": "#FFFFFF", "stroke": DAY.ink, "stroke-width": 0.35 * UNIT,
    })  # fmt: skip


def _words(one: Letters, paper: Paper) -> str:
    x, y = paper.xy(one.at)
    x = _kept_in(x + one.nudge[0], one, paper.width)
    return letters(
        one.text, x, y - one.nudge[1] + one.size * 0.36, size=one.size,
        anchor=one.anchor, strong=one.strong, plate=True,
    )  # fmt: skip


def _kept_in(x: float, one: Letters, width: float) -> float:
    """Move words sideways that would run off the paper. [mm]"""
    wide = text_width(one.text, one.size, strong=one.strong) * 0.95 + 1.0
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[one.anchor]
    return x + max(0.0, 0.5 - left) - max(0.0, left + wide - width + 0.5)


def _foot(drawing: Drawing, paper: Paper, height: float) -> str:
    """Scale, north, and in large letters if it is mirrored."""
    y = height - 1.2
    out = letters(f"scale {scale_words(paper.scale)}", 1.0, y, size=SMALL, anchor="start")
    x = 26.0
    if drawing.north is not None:
        out += signs.north(x, height - 2.8, drawing.north)
        x += 8.0
    if drawing.mirrored:
        out += signs.block("MIRRORED: seen looking up", x, y, TEXT)
    return out


def paper_size(drawing: Drawing) -> tuple[float, float]:
    """Return width and height of a drawing on paper. [mm]"""
    width, height = _size(drawing, on_paper(drawing))
    return math.ceil(width * 10) / 10, math.ceil(height * 10) / 10


def _size(drawing: Drawing, paper: Paper) -> tuple[float, float]:
    least = 88.0 if drawing.mirrored else 44.0
    return max(paper.width, least), paper.height + FOOT

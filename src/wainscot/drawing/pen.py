"""The few strokes that drawings are made of, in tenths of a millimetre of paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from wainscot.drawing.model import Anchor, Point
from wainscot.picture.svg import element, escape, path, text_width
from wainscot.picture.tokens import DAY

UNIT = 10.0
"""Units of the SVG to a millimetre of paper."""
STRONG = "700"
"""The shipped letters have no weight between."""


def ring_path(rings: Iterable[Iterable[Point]], *, close: bool) -> str:
    """Return path data through points on paper. [mm]"""
    scaled = [[(x * UNIT, y * UNIT) for x, y in ring] for ring in rings]
    return path(scaled, close=close)


def line(points: Sequence[Point], colour: str, width: float, *, dash: str | None = None) -> str:
    """Return an open line.

    Parameters
    ----------
    points : sequence of (x, y)
        On paper. [mm]
    colour : str
        Its colour.
    width : float
        On paper. [mm]
    dash : str, optional
        Dashes, in the SVG's units.
    """
    return element("path", {
        "d": ring_path([points], close=False), "fill": "none", "stroke": colour,
        "stroke-width": max(width, 0.1) * UNIT, "stroke-dasharray": dash,
    })  # fmt: skip


def area(points: Sequence[Point], fill: str, *, stroke: str = "none", width: float = 0.0) -> str:
    """Return a filled outline.

    Parameters
    ----------
    points : sequence of (x, y)
        On paper. [mm]
    fill, stroke : str
        Colours.
    width : float
        Of the stroke. [mm]
    """
    return element("path", {
        "d": ring_path([points], close=True), "fill": fill, "stroke": stroke,
        "stroke-width": width * UNIT if width else None,
    })  # fmt: skip


def letters(
    text: str, x: float, y: float, *, size: float, anchor: Anchor = "start", strong: bool = False,
    colour: str = "", plate: bool = False,
) -> str:  # fmt: skip
    """Return one line of words by its baseline.

    Parameters
    ----------
    text : str
        Any text; it is escaped here.
    x, y : float
        On paper. [mm]
    size : float
        Height of the letters. [mm]
    anchor : str
        ``start``, ``middle`` or ``end``.
    strong : bool
        Heavier weight.
    colour : str
        Another colour than ink.
    plate : bool
        Whether paper is laid under the words.
    """
    ground = ""
    if plate and text:
        wide = text_width(text, size, strong=strong) * 0.95
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
        ground = element("rect", {
            "x": (left - 0.4) * UNIT, "y": (y - size * 0.82) * UNIT, "width": (wide + 0.8) * UNIT,
            "height": size * 1.06 * UNIT, "fill": "#FFFFFF", "fill-opacity": "0.85",
        })  # fmt: skip
    return ground + element("text", {
        "x": x * UNIT, "y": y * UNIT, "font-size": size * UNIT, "fill": colour or DAY.ink,
        "text-anchor": anchor if anchor != "start" else None,
        "font-weight": STRONG if strong else None,
    }, escape(text))  # fmt: skip

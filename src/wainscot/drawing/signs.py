"""Marks of fixed size: datum, pin, pilot hole, number of an opening, letters of saw lines."""

from __future__ import annotations

import math

from wainscot.drawing.layout import Paper
from wainscot.drawing.model import SMALL, Point, Sign
from wainscot.drawing.pen import UNIT, area, letters, line
from wainscot.picture.svg import element, text_width
from wainscot.picture.tokens import DAY


def sign(one: Sign, paper: Paper) -> str:
    """Return a mark with its letters."""
    x, y = paper.xy(one.at)
    x, y = x + one.nudge[0], y - one.nudge[1]
    return _DRAWN[one.kind](one, x, y)


def _datum(one: Sign, x: float, y: float) -> str:
    """A cross through a solid square: measure from here."""
    cross = line([(x - 3.2, y), (x + 3.2, y)], DAY.ink, 0.5)
    cross += line([(x, y - 3.2), (x, y + 3.2)], DAY.ink, 0.5)
    square = area([(x - 1.2, y - 1.2), (x + 1.2, y - 1.2), (x + 1.2, y + 1.2), (x - 1.2, y + 1.2)],
                  DAY.ink)  # fmt: skip
    return cross + square + _beside(one, x, y - 2.0)


def _pin(one: Sign, x: float, y: float) -> str:
    body = area([(x, y), (x - 1.5, y - 3.4), (x + 1.5, y - 3.4)], DAY.ink)
    return body + _beside(one, x, y - 1.0)


def _beside(one: Sign, x: float, y: float) -> str:
    wide = text_width(one.text, SMALL, strong=True) + 1.6
    return block(one.text, x - 2.0 - wide if one.leftward else x + 2.0, y, SMALL)


def _pilot(one: Sign, x: float, y: float) -> str:
    radius = 2.2 if len(one.text) < 2 else 2.9
    ring = _circle(x, y, radius, "#FFFFFF", DAY.copper, 0.6)
    return ring + letters(one.text, x, y + 1.15, size=SMALL, anchor="middle", strong=True)


def _number(one: Sign, x: float, y: float) -> str:
    wide = max(text_width(one.text, SMALL, strong=True) + 1.0, 4.4)
    fill, edge = ("#FFFFFF", DAY.ink) if one.faint else (DAY.copper, DAY.copper)
    box = element("rect", {
        "x": (x - wide / 2) * UNIT, "y": (y - 2.2) * UNIT, "width": wide * UNIT,
        "height": 4.4 * UNIT, "fill": fill, "stroke": edge, "stroke-width": 0.4 * UNIT,
        "stroke-dasharray": "10 6" if one.faint else None,
    })  # fmt: skip
    colour = DAY.ink if one.faint else DAY.on_copper
    return box + letters(one.text, x, y + 1.15, size=SMALL, anchor="middle", strong=True,
                         colour=colour)  # fmt: skip


def _corner(one: Sign, x: float, y: float) -> str:
    ring = _circle(x, y, 2.4, "#FFFFFF", DAY.copper, 0.4)
    return ring + letters(one.text, x, y + 1.15, size=SMALL, anchor="middle", strong=True)


def _blade(one: Sign, x: float, y: float) -> str:
    """A wedge whose point lies where the blade ends."""
    return area(_pointed(x, y, one.turn, 7.0, 1.6), DAY.copper)


def _look(one: Sign, x: float, y: float) -> str:
    """An open arrow: from here, this way."""
    shape = _pointed(x, y, one.turn, 4.2, 2.2)
    return area(shape, "#FFFFFF", stroke=DAY.ink, width=0.4)


def _pointed(x: float, y: float, turn: float, long: float, half: float) -> list[Point]:
    c, s = math.cos(turn), -math.sin(turn)
    back = (x - long * c, y - long * s)
    return [
        (x, y),
        (back[0] - half * s, back[1] + half * c),
        (back[0] + half * s, back[1] - half * c),
    ]


def north(x: float, y: float, turn: float) -> str:
    """Return a north arrow.

    Parameters
    ----------
    x, y : float
        Its middle on paper. [mm]
    turn : float
        Way it points, anticlockwise from right. [rad]
    """
    c, s = math.cos(turn), -math.sin(turn)
    tip = (x + 3.0 * c, y + 3.0 * s)
    tail = (x - 2.6 * c, y - 2.6 * s)
    left = (tail[0] - 1.4 * s, tail[1] + 1.4 * c)
    right = (tail[0] + 1.4 * s, tail[1] - 1.4 * c)
    notch = (x - 1.4 * c, y - 1.4 * s)
    arrow = area([tip, left, notch], DAY.ink) + area(
        [tip, right, notch], "#FFFFFF", stroke=DAY.ink, width=0.2
    )
    return arrow + letters("N", x + 3.4, y + 1.2, size=SMALL, strong=True)


def block(text: str, x: float, y: float, size: float) -> str:
    """Return words on an ink block, by their baseline.

    Parameters
    ----------
    text : str
        Any text.
    x, y : float
        Left end of the baseline on paper. [mm]
    size : float
        Height of the letters. [mm]
    """
    if not text:
        return ""
    wide = text_width(text, size, strong=True)
    box = element("rect", {
        "x": x * UNIT, "y": (y - size * 0.95) * UNIT, "width": (wide + 1.6) * UNIT,
        "height": size * 1.3 * UNIT, "fill": DAY.ink,
    })  # fmt: skip
    return box + letters(text, x + 0.8, y, size=size, strong=True, colour=DAY.on_copper)


def _circle(x: float, y: float, r: float, fill: str, stroke: str, width: float) -> str:
    return element("circle", {
        "cx": x * UNIT, "cy": y * UNIT, "r": r * UNIT, "fill": fill, "stroke": stroke,
        "stroke-width": width * UNIT,
    })  # fmt: skip


_DRAWN = {
    "datum": _datum, "pin": _pin, "pilot": _pilot, "number": _number, "corner": _corner,
    "blade": _blade, "look": _look,
}  # fmt: skip

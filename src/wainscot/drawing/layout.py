"""Where a drawing's metres come to lie on paper: its scale, and room for its dimension lines.

Limits: scales are of a short list, so that a rule can be laid on the paper.
"""

from __future__ import annotations

import math

import msgspec

from wainscot.drawing.model import SMALL, Chain, Drawing, Point, segments
from wainscot.picture.svg import text_width

SCALES = (2, 2.5, 4, 5, 8, 10, 12.5, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 300, 500)
GAP = 5.0
"""From the drawing to its first dimension line. [mm]"""
ROW = 9.0
"""From one dimension line to the next. [mm]"""
LOW_ROW = 8.2
"""More where figures stand under the line. [mm]"""
BREATH = 3.0
LEAST_EDGE = 4.0


class Paper(msgspec.Struct, frozen=True):
    """A scale and where the drawing's origin lies on its paper; y runs down."""

    scale: float
    """One metre of paper shows so many metres. [1]"""
    left: float
    base: float
    """Paper coordinates of the drawing's origin. [mm]"""
    width: float
    height: float
    """[mm]"""

    def xy(self, point: Point) -> Point:
        """Return a point of the drawing on paper. [mm]"""
        return (self.left + self.long(point[0]), self.base - self.long(point[1]))

    def long(self, metres: float) -> float:
        """Return how long a length is on paper. [mm]

        Parameters
        ----------
        metres : float
            The length. [m]
        """
        return metres * 1000 / self.scale


def on_paper(drawing: Drawing) -> Paper:
    """Return the greatest scale of the list at which a drawing fits its box."""
    for scale in SCALES:
        paper = _at(drawing, scale)
        if paper.width <= drawing.box[0] and paper.height <= drawing.box[1]:
            return paper
    return _at(drawing, SCALES[-1])


def _at(drawing: Drawing, scale: float) -> Paper:
    west, south, east, north = drawing.window
    wide, high = (east - west) * 1000 / scale, (north - south) * 1000 / scale
    left = max(LEAST_EDGE, _beside(drawing, -1))
    right = max(LEAST_EDGE, _beside(drawing, 1))
    under = max(LEAST_EDGE, _along(drawing, -1, scale))
    over = max(LEAST_EDGE, _along(drawing, 1, scale))
    return Paper(
        scale=scale,
        left=left - west * 1000 / scale,
        base=over + north * 1000 / scale,
        width=left + wide + right,
        height=over + high + under,
    )


def label_width(pair: tuple[str, str]) -> float:
    """Return how wide a dimension's figures stand on paper. [mm]"""
    return max(text_width(pair[0], SMALL, strong=True), text_width(pair[1], SMALL)) * 0.95


def wide_enough(chain: Chain, drawing: Drawing, scale: float) -> list[bool]:
    """Return, for each segment of a chain, whether its figures fit between its ends.

    Parameters
    ----------
    chain : Chain
        The chain.
    drawing : Drawing
        Its drawing.
    scale : float
        One metre of paper shows so many metres. [1]
    """
    pairs = segments(chain, drawing.units, drawing.grain)
    return [
        abs(b.at - a.at) * 1000 / scale >= label_width(pair) + 1.5
        for a, b, pair in zip(chain.stops, chain.stops[1:], pairs, strict=False)
    ]


def row_height(chain: Chain, drawing: Drawing, scale: float) -> float:
    """Return how much room the row of a chain along x takes. [mm]

    Parameters
    ----------
    chain : Chain
        The chain.
    drawing : Drawing
        Its drawing.
    scale : float
        One metre of paper shows so many metres. [1]
    """
    return ROW + (0.0 if all(wide_enough(chain, drawing, scale)) else LOW_ROW)


def row_offset(chain: Chain, drawing: Drawing, scale: float) -> float:
    """Return how far a chain's line lies from its base. [mm]

    Parameters
    ----------
    chain : Chain
        The chain.
    drawing : Drawing
        Its drawing.
    scale : float
        One metre of paper shows so many metres. [1]
    """
    if chain.axis == "y":
        before = [one for one in _same(drawing, chain) if one.row < chain.row]
        return GAP + sum(widest(one, drawing) + BREATH for one in before)
    before = [one for one in _same(drawing, chain) if one.row < chain.row]
    return GAP + sum(row_height(one, drawing, scale) for one in before)


def widest(chain: Chain, drawing: Drawing) -> float:
    """Return how wide the figures of a chain along y stand. [mm]"""
    pairs = segments(chain, drawing.units, drawing.grain)
    return 2.0 + max((label_width(pair) for pair in pairs), default=0.0)


def _same(drawing: Drawing, chain: Chain) -> list[Chain]:
    return [one for one in drawing.chains if one.axis == chain.axis and one.side == chain.side]


def _beside(drawing: Drawing, side: int) -> float:
    chains = [one for one in drawing.chains if one.axis == "y" and one.side == side]
    if not chains:
        return 0.0
    return GAP + sum(widest(one, drawing) + BREATH for one in chains)


def _along(drawing: Drawing, side: int, scale: float) -> float:
    chains = [one for one in drawing.chains if one.axis == "x" and one.side == side]
    if not chains:
        return 0.0
    return GAP - 4.0 + sum(row_height(one, drawing, scale) for one in chains)


def scale_words(scale: float) -> str:
    """Return a scale in words: ``1:12.5``.

    Parameters
    ----------
    scale : float
        One metre of paper shows so many metres. [1]
    """
    return f"1:{scale:g}" if math.isfinite(scale) else ""

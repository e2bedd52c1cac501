"""Dimension lines on paper: figures between the ticks where they fit, else under them on a leader.

Limits: figures that must stand under their line are moved sideways, never made smaller.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import msgspec

from wainscot.drawing.layout import Paper, label_width, row_offset, wide_enough
from wainscot.drawing.model import SMALL, Chain, Drawing, Point, segments
from wainscot.drawing.pen import area, letters, line
from wainscot.picture.tokens import DAY

_TICK = 1.1
_THIN, _LINE = 0.18, 0.3
_LOW = 9.1
"""From a line to the middle of figures that stand under it. [mm]"""


class Figures(msgspec.Struct, frozen=True):
    """What stands at one dimension: its two figures, one over the other."""

    segment: int
    """Which dimension of its chain."""
    pair: tuple[str, str]
    at: Point
    """Middle of both on paper. [mm]"""
    leader: tuple[Point, Point] | None = None
    """Line that leads to them where they had to move, on paper. [mm]"""


def chain_svg(chain: Chain, drawing: Drawing, paper: Paper) -> str:
    """Return a chain of dimensions with its extension lines, ticks and figures."""
    if len(chain.stops) < 2:
        return ""
    along, far = _line_of(chain, drawing, paper)
    near = _base(chain, paper)
    ends = [_place(chain, paper.xy((stop.at, stop.at)), along) for stop in chain.stops]
    out = [line([ends[0], ends[-1]], DAY.ink, _LINE)]
    for end in ends:
        start = _place(chain, end, near - far)
        stop = _place(chain, end, along - far * _TICK)
        out += [line([start, stop], DAY.line, _THIN), _tick(*end)]
    for one in figures(chain, drawing, paper):
        if one.leader is not None:
            out.append(line(one.leader, DAY.line, _THIN))
        x, y = one.at
        out.append(letters(one.pair[0], x, y - 0.9, size=SMALL, anchor="middle", strong=True))
        out.append(letters(one.pair[1], x, y + SMALL + 0.1, size=SMALL, anchor="middle"))
    return "".join(out)


def _base(chain: Chain, paper: Paper) -> float:
    """Coordinate across the chain that it is set off from, on paper. [mm]"""
    return paper.xy((chain.base, chain.base))[1 if chain.axis == "x" else 0]


def _line_of(chain: Chain, drawing: Drawing, paper: Paper) -> tuple[float, float]:
    """Coordinate of the dimension line on paper, and the way back from it: 1 or -1. [mm]"""
    # On paper y runs down, so a chain below lies towards greater y.
    out = -chain.side if chain.axis == "x" else chain.side
    return _base(chain, paper) + out * row_offset(chain, drawing, paper.scale), -float(out)


def _place(chain: Chain, point: Point, across: float) -> Point:
    """A point of the chain with its coordinate across it set. [mm]"""
    return (point[0], across) if chain.axis == "x" else (across, point[1])


def figures(chain: Chain, drawing: Drawing, paper: Paper) -> tuple[Figures, ...]:
    """Return where the figures of a chain stand on paper.

    Parameters
    ----------
    chain : Chain
        The chain.
    drawing : Drawing
        Its drawing.
    paper : Paper
        Its scale and place.
    """
    pairs = segments(chain, drawing.units, drawing.grain)
    at = 0 if chain.axis == "x" else 1
    ends = [paper.xy((stop.at, stop.at))[at] for stop in chain.stops]
    middles = [(a + b) / 2 for a, b in pairwise(ends)]
    told = [
        (middle, n, pair, fits)
        for n, (middle, pair, fits) in enumerate(
            zip(middles, pairs, wide_enough(chain, drawing, paper.scale), strict=True)
        )
        if fits or pair[0] not in ("0 mm", '0"')
    ]
    along, _ = _line_of(chain, drawing, paper)
    place = _across if chain.axis == "x" else _upright
    return tuple(place(told, along, chain, paper))


Told = list[tuple[float, int, tuple[str, str], bool]]


def _across(told: Told, y: float, chain: Chain, paper: Paper) -> Iterator[Figures]:
    """Between the ticks where they fit; else side by side under the line, each on a leader."""
    low = [(x, n, pair) for x, n, pair, fits in told if not fits]
    places = spread([(x, label_width(pair) + 2.0) for x, _, pair in low], paper.width)
    yield from (Figures(n, pair, (x, y)) for x, n, pair, fits in told if fits)
    for (x, n, pair), at in zip(low, places, strict=True):
        yield Figures(n, pair, (at, y + _LOW), ((x, y + 0.4), (at, y + _LOW - SMALL - 0.3)))


def _upright(told: Told, x: float, chain: Chain, paper: Paper) -> Iterator[Figures]:
    """Beside the line, moved up or down where two would lie on each other."""
    ordered = sorted(told)
    places = spread([(y, 2 * SMALL + 1.4) for y, _, _, _ in ordered], paper.height)
    for (y, n, pair, _), at in zip(ordered, places, strict=True):
        start = x + chain.side * 1.6
        middle = start + chain.side * label_width(pair) / 2
        leader = ((x, y), (start, at)) if abs(at - y) > 0.6 else None
        yield Figures(n, pair, (middle, at), leader)


def spread(wanted: list[tuple[float, float]], width: float) -> list[float]:
    """Return places next to those wanted at which things of a width do not overlap. [mm]

    Parameters
    ----------
    wanted : list of (float, float)
        Wanted middle and width of each, in order. [mm]
    width : float
        Of the paper. [mm]
    """
    places: list[float] = []
    last = 0.0
    for middle, wide in wanted:
        at = max(middle, last + wide / 2)
        places.append(at)
        last = at + wide / 2
    right = width
    for i in range(len(places) - 1, -1, -1):
        wide = wanted[i][1]
        places[i] = max(min(places[i], right - wide / 2), wide / 2)
        right = places[i] - wide / 2
    return places


def _tick(x: float, y: float) -> str:
    """A short solid wedge across the line: what the trade draws as a slash."""
    size: float = _TICK
    corners: list[Point] = [
        (x - size, y + size - 0.3), (x - size + 0.3, y + size),
        (x + size, y - size + 0.3), (x + size - 0.3, y - size),
    ]  # fmt: skip
    return area(corners, DAY.ink)

"""Dimension lines on paper: figures between the ticks where they fit, else under them on a leader.

Limits: figures that must stand under their line are moved sideways, never made smaller.
"""

from __future__ import annotations

from itertools import pairwise

from wainscot.drawing.layout import Paper, label_width, row_offset, wide_enough
from wainscot.drawing.model import SMALL, Anchor, Chain, Drawing, Point, segments
from wainscot.drawing.pen import area, letters, line
from wainscot.picture.tokens import DAY

_TICK = 1.1
_THIN, _LINE = 0.18, 0.3
_LEAD = 3.1


def chain_svg(chain: Chain, drawing: Drawing, paper: Paper) -> str:
    """Return a chain of dimensions with its extension lines, ticks and figures."""
    if len(chain.stops) < 2:
        return ""
    return _across(chain, drawing, paper) if chain.axis == "x" else _upright(chain, drawing, paper)


def _across(chain: Chain, drawing: Drawing, paper: Paper) -> str:
    base = paper.xy((0.0, chain.base))[1]
    y = base - chain.side * row_offset(chain, drawing, paper.scale)
    xs = [paper.xy((stop.at, 0.0))[0] for stop in chain.stops]
    out = [line([(xs[0], y), (xs[-1], y)], DAY.ink, _LINE)]
    for x in xs:
        out.append(
            line([(x, base - chain.side * 1.0), (x, y - chain.side * _TICK)], DAY.line, _THIN)
        )
        out.append(_tick(x, y))
    pairs = segments(chain, drawing.units, drawing.grain)
    fits = wide_enough(chain, drawing, paper.scale)
    below: list[tuple[float, tuple[str, str]]] = []
    for (a, b), pair, fit in zip(pairwise(xs), pairs, fits, strict=True):
        if fit:
            out.append(_two_lines((a + b) / 2, y, pair))
        elif b - a > 0.05 or pair[0] not in ("0 mm", '0"'):
            below.append(((a + b) / 2, pair))
    out += _below(below, y, paper.width)
    return "".join(out)


def _two_lines(x: float, y: float, pair: tuple[str, str]) -> str:
    over = letters(pair[0], x, y - 1.0, size=SMALL, anchor="middle", strong=True)
    return over + letters(pair[1], x, y + SMALL + 0.1, size=SMALL, anchor="middle")


def _below(some: list[tuple[float, tuple[str, str]]], y: float, width: float) -> list[str]:
    """Figures under the line, side by side, each on a leader to the middle of its stretch."""
    places = spread([(x, label_width(pair) + 2.0) for x, pair in some], width)
    out = []
    for (x, pair), at in zip(some, places, strict=True):
        top = y + LOW_TOP
        out.append(line([(x, y + 0.4), (at, top - SMALL + 0.2)], DAY.line, _THIN))
        out.append(letters(pair[0], at, top, size=SMALL, anchor="middle", strong=True))
        out.append(letters(pair[1], at, top + SMALL + 0.5, size=SMALL, anchor="middle"))
    return out


LOW_TOP = 8.6


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


def _upright(chain: Chain, drawing: Drawing, paper: Paper) -> str:
    base = paper.xy((chain.base, 0.0))[0]
    x = base + chain.side * row_offset(chain, drawing, paper.scale)
    ys = [paper.xy((0.0, stop.at))[1] for stop in chain.stops]
    out = [line([(x, ys[0]), (x, ys[-1])], DAY.ink, _LINE)]
    for y in ys:
        out.append(
            line([(base + chain.side * 1.0, y), (x + chain.side * _TICK, y)], DAY.line, _THIN)
        )
        out.append(_tick(x, y))
    pairs = segments(chain, drawing.units, drawing.grain)
    middles = [((a + b) / 2, pair) for (a, b), pair in zip(pairwise(ys), pairs, strict=True)]
    middles = [(y, pair) for y, pair in middles if pair[0] not in ("0 mm", '0"')]
    order = sorted(middles)
    places = spread([(y, 2 * SMALL + 1.4) for y, _ in order], paper.height)
    for (y, pair), at in zip(order, places, strict=True):
        start = x + chain.side * 1.6
        anchor: Anchor = "start" if chain.side > 0 else "end"
        if abs(at - y) > 0.6:
            out.append(line([(x, y), (start, at)], DAY.line, _THIN))
        out.append(letters(pair[0], start, at - 0.2, size=SMALL, anchor=anchor, strong=True))
        out.append(letters(pair[1], start, at + SMALL + 0.1, size=SMALL, anchor=anchor))
    return "".join(out)


def _tick(x: float, y: float) -> str:
    """A short solid wedge across the line: what the trade draws as a slash."""
    size: float = _TICK
    corners: list[Point] = [
        (x - size, y + size - 0.3), (x - size + 0.3, y + size),
        (x + size, y - size + 0.3), (x + size - 0.3, y - size),
    ]  # fmt: skip
    return area(corners, DAY.ink)

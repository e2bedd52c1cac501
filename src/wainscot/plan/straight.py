"""Walls that are meant to be parallel are made so: a tape gives millimetres, not angles.

A house at 30 degrees whose corners were typed to the millimetre has no two walls that are exactly
parallel.  Sides that miss the direction of a longer one (or of the house's own axes) by no more
than :data:`SLACK` over their length take it over, and corners move with them by less than that.

>>> straightened({"r": [(0, 0), (3, 0.001), (3, 2), (0, 2)]})["r"][1]
(3.0, 0.0005)

Limits: what leans by more is a slant, and stays one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from wainscot.plan.frame import Point2, split

SLACK = 0.003
"""How far a side may miss a direction over its own length and still be taken to follow it. [m]"""
MOST = 0.01
"""No side is turned by more than this, however short. [rad]"""

Ring = Sequence[Point2]


def straightened(rings: Mapping[str, Ring]) -> dict[str, tuple[Point2, ...]]:
    """Return outlines whose nearly parallel sides are parallel. [m]

    Parameters
    ----------
    rings : mapping of str to sequence of (float, float)
        Corners of each room's outline. [m]
    """
    sides = sorted(
        (round(-math.dist(a, b), 6), split(math.atan2(b[1] - a[1], b[0] - a[0]))[0])
        for ring in rings.values()
        for a, b in _edges(ring)
    )
    turns = [0.0]
    for length, turn in sides:
        if _nearest(turn, -length, turns) is None:
            turns.append(turn)
    return {key: _moved(ring, turns) for key, ring in rings.items()}


def _edges(ring: Ring) -> list[tuple[Point2, Point2]]:
    return list(zip(ring, [*ring[1:], ring[0]], strict=True))


def _nearest(turn: float, length: float, turns: Sequence[float]) -> float | None:
    """Return the nearest direction that a side of a length may be taken to follow, or None."""
    nearest = min(turns, key=lambda one: abs(turn - one))
    miss = abs(turn - nearest)
    return nearest if miss < MOST and miss * length <= SLACK else None


def _moved(ring: Ring, turns: Sequence[float]) -> tuple[Point2, ...]:
    """Return an outline with each side turned about its middle to the direction it follows."""
    lines = []
    moved = False
    for a, b in _edges(ring):
        turn, quarter = split(math.atan2(b[1] - a[1], b[0] - a[0]))
        follows = _nearest(turn, math.dist(a, b), turns)
        chosen = turn if follows is None else follows
        moved |= abs(chosen - turn) > 1e-8
        way = _way(chosen, quarter)
        lines.append((((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), way))
    if not moved:
        return tuple((float(x), float(y)) for x, y in ring)
    return tuple(
        _crossing(lines[n - 1], lines[n], (float(ring[n][0]), float(ring[n][1])))
        for n in range(len(ring))
    )


def _way(turn: float, quarter: int) -> Point2:
    """Return the unit vector of a direction; exact along the house's axes."""
    x, y = (1.0, 0.0) if turn == 0.0 else (math.cos(turn), math.sin(turn))
    return ((x, y), (-y, x), (-x, -y), (y, -x))[quarter]


def _crossing(one: tuple[Point2, Point2], other: tuple[Point2, Point2], corner: Point2) -> Point2:
    """Return where two lines (point, direction) meet; nearly in line: the corner as it was."""
    (px, py), (ux, uy) = one
    (qx, qy), (vx, vy) = other
    det = ux * vy - uy * vx
    if abs(det) < 0.05:
        return corner
    share = ((qx - px) * vy - (qy - py) * vx) / det
    return (px + share * ux, py + share * uy)

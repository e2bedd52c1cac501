"""Room for plates and names: greedy placement without overlap.

Everything that is written on the plan asks here for a place near where it belongs and gets the
first of its candidate places that is free, or the one that overlaps least.

Limits: greedy, in the order asked; the most important things ask first.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import msgspec

Point = tuple[float, float]
_REACH = 12


class Box(msgspec.Struct, frozen=True):
    """An upright rectangle by its centre and size. [px]"""

    x: float
    y: float
    width: float
    height: float

    def overlap(self, other: Box) -> float:
        """Return the shared area, counted in squares of one pixel. [1]"""
        across = (self.width + other.width) / 2 - abs(self.x - other.x)
        down = (self.height + other.height) / 2 - abs(self.y - other.y)
        if across <= 0 or down <= 0:
            return 0.0
        return min(across, self.width, other.width) * min(down, self.height, other.height)


def around(x: float, y: float, width: float, height: float) -> list[Point]:
    """Return candidate centres near a point, nearest first.

    Parameters
    ----------
    x, y : float
        Where the thing belongs. [px]
    width, height : float
        Size of the thing. [px]
    """
    steps = [
        (dx * 12.0, dy * 7.0)
        for dx in range(-_REACH, _REACH + 1)
        for dy in range(-_REACH, _REACH + 1)
        if abs(dx) * 12.0 <= width + 24 and abs(dy) * 7.0 <= 3 * height
    ]
    steps.sort(key=lambda step: (math.hypot(*step), step))
    return [(x + dx, y + dy) for dx, dy in steps]


class Placer:
    """Keeps what is taken, and finds free places."""

    def __init__(self, frame: Box) -> None:
        self._frame = frame
        self._taken: list[Box] = []

    def take(self, box: Box) -> None:
        """Mark a rectangle as taken."""
        self._taken.append(box)

    def place(self, candidates: Iterable[Point], width: float, height: float) -> Box:
        """Take the best of the candidate centres and return its rectangle.

        Parameters
        ----------
        candidates : iterable of (x, y)
            Centres, best first. [px]
        width, height : float
            Size. [px]
        """
        best: tuple[float, Box] | None = None
        for x, y in candidates:
            box = Box(x, y, width, height)
            outside = width * height - box.overlap(self._frame)
            cost = 2 * outside + sum(box.overlap(other) for other in self._taken)
            if best is None or cost < best[0] - 1e-6:
                best = (cost, box)
            if cost <= 1e-6:
                break
        if best is None:
            raise ValueError("no candidate place was given")
        self.take(best[1])
        return best[1]

"""Footprints cut into rooms: rectangles with a wall's thickness left between them.

Limits: every room is a rectangle; a footprint is one or more rectangles side by side.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import msgspec
import numpy as np

from wainscot.arrays import Floats

WALL = 0.1
"""Thickness left between two rooms. [m]"""
NARROWEST = 1.3
"""No room is cut narrower than this. [m]"""
DOOR = 0.8
_DOOR_SPARE = 0.15


class Cell(msgspec.Struct, frozen=True):
    """One room's rectangle. [m]"""

    west: float
    south: float
    east: float
    north: float

    @property
    def width(self) -> float:
        """From west to east. [m]"""
        return self.east - self.west

    @property
    def depth(self) -> float:
        """From south to north. [m]"""
        return self.north - self.south

    def polygon(self) -> list[tuple[float, float]]:
        """Return its corners, anticlockwise. [m]"""
        return [
            (self.west, self.south),
            (self.east, self.south),
            (self.east, self.north),
            (self.west, self.north),
        ]

    def side_length(self, side: str) -> float:
        """Return the length of a side (``n1``, ``e1``, ``s1``, ``w1``). [m]"""
        return self.width if side[0] in "ns" else self.depth

    def point(self, side: str, along: float, inward: float) -> tuple[float, float]:
        """Return the point so far from the left corner of a side and so far into the room. [m]

        Parameters
        ----------
        along, inward : float
            Distances from the left corner and from the wall. [m]
        """
        return {
            "n": (self.west + along, self.north - inward),
            "e": (self.east - inward, self.north - along),
            "s": (self.east - along, self.south + inward),
            "w": (self.west + inward, self.south + along),
        }[side[0]]


class Meeting(msgspec.Struct, frozen=True):
    """Two rooms that share a wall; the door's place on the first one's side."""

    first: int
    second: int
    side: str
    low: float
    high: float
    """Ends of the shared stretch, from the left corner of that side. [m]"""

    @property
    def holds_door(self) -> bool:
        """Whether a door fits."""
        return self.high - self.low >= DOOR + 2 * _DOOR_SPARE


def split(cell: Cell, rooms: int, rng: np.random.Generator) -> list[Cell]:
    """Return a rectangle cut into so many rooms at random, fewer if it is too small.

    Parameters
    ----------
    cell : Cell
        The rectangle.
    rooms : int
        Rooms wanted.
    rng : numpy.random.Generator
        Source of randomness.
    """
    across = cell.width >= cell.depth
    size = cell.width if across else cell.depth
    if rooms < 2 or size < 2 * NARROWEST + WALL:
        return [cell]
    first = int(rng.integers(1, rooms)) if rooms < 4 else rooms // 2
    share = first / rooms + float(rng.uniform(-0.12, 0.12))
    cut = round(min(max(size * share, NARROWEST), size - NARROWEST - WALL), 2)
    if across:
        one = msgspec.structs.replace(cell, east=round(cell.west + cut, 3))
        two = msgspec.structs.replace(cell, west=round(cell.west + cut + WALL, 3))
    else:
        one = msgspec.structs.replace(cell, north=round(cell.south + cut, 3))
        two = msgspec.structs.replace(cell, south=round(cell.south + cut + WALL, 3))
    return [*split(one, first, rng), *split(two, rooms - first, rng)]


def footprint(rooms: int, rng: np.random.Generator) -> Cell:
    """Return a rectangle for so many rooms of 7 to 14 square metres.

    Parameters
    ----------
    rooms : int
        Rooms on one storey.
    rng : numpy.random.Generator
        Source of randomness.
    """
    area = rooms * float(rng.uniform(7.0, 14.0))
    aspect = float(rng.uniform(1.0, 1.8))
    long, short = float(np.sqrt(area * aspect)), float(np.sqrt(area / aspect))
    if rng.random() < 0.5:
        long, short = short, long
    return Cell(0.0, 0.0, round(max(long, 1.6), 2), round(max(short, 1.6), 2))


def meetings(cells: list[Cell]) -> Iterator[Meeting]:
    """Yield every pair of rooms that share a wall, the western or southern one first.

    Parameters
    ----------
    cells : list of Cell
        Rooms of one storey.
    """
    for i, j in combinations(range(len(cells)), 2):
        for a, b in ((i, j), (j, i)):
            one, other = cells[a], cells[b]
            if abs(other.west - one.east - WALL) < 1e-6:
                low, high = max(one.south, other.south), min(one.north, other.north)
                if high > low:
                    yield Meeting(a, b, "e1", one.north - high, one.north - low)
            if abs(other.south - one.north - WALL) < 1e-6:
                low, high = max(one.west, other.west), min(one.east, other.east)
                if high > low:
                    yield Meeting(a, b, "n1", low - one.west, high - one.west)


def doors(cells: list[Cell], rng: np.random.Generator) -> list[Meeting]:
    """Return meetings that get a door: enough to walk through every room, and a few more.

    Parameters
    ----------
    cells : list of Cell
        Rooms of one storey.
    rng : numpy.random.Generator
        Source of randomness.
    """
    possible = [one for one in meetings(cells) if one.holds_door]
    part = list(range(len(cells)))
    chosen = []
    for k in rng.permutation(len(possible)):
        one = possible[int(k)]
        joined = part[one.first] == part[one.second]
        if not joined or rng.random() < 0.2:
            chosen.append(one)
            part = [part[one.first] if p == part[one.second] else p for p in part]
    return chosen


def outer_sides(cells: list[Cell]) -> list[tuple[int, str]]:
    """Return (room, side) of every side that no other room stands behind.

    Parameters
    ----------
    cells : list of Cell
        Rooms of one storey.
    """
    opposite = {"e1": "w1", "n1": "s1"}
    inner = set()
    for one in meetings(cells):
        inner |= {(one.first, one.side), (one.second, opposite[one.side])}
    return [
        (i, side)
        for i in range(len(cells))
        for side in ("n1", "e1", "s1", "w1")
        if (i, side) not in inner
    ]


def spots(side_length: float, width: float, rng: np.random.Generator) -> float:
    """Return a distance from the left corner at which something so wide stands. [m]

    Parameters
    ----------
    side_length, width : float
        [m]
    rng : numpy.random.Generator
        Source of randomness.
    """
    return round(float(rng.uniform(0.05, max(side_length - width - 0.05, 0.06))), 2)


def corners(cells: list[Cell]) -> Floats:
    """Return west, south, east, north of all of them together: [4]. [m]

    Parameters
    ----------
    cells : list of Cell
        Rooms.
    """
    return np.array(
        [
            min(one.west for one in cells),
            min(one.south for one in cells),
            max(one.east for one in cells),
            max(one.north for one in cells),
        ]
    )

"""Is a room's outline a simple ring?  Closed form on its corners, no geometry library.

>>> [fault.code for fault in ring_faults([(0, 0), (2, 2), (2, 0), (0, 2)], "polygon")]
['self-crossing']

Limits: at most :data:`MOST_CORNERS` corners; of sides that cross, the first few are told.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import islice

from wainscot.errors import Fault

Point = tuple[float, float]

MOST_CORNERS = 1000
"""Corners of one outline; no drawn room has more, a traced curve may (judgement)."""

_MOST_TOLD = 20
_SMALLEST = 1e-6
"""Area below which a room is none, a square of one millimetre. [m2]"""

_SAME = 1e-6
"""Corners closer than this are one, as the plan reads them. [m]"""


def ring_faults(points: Sequence[Point], path: str) -> list[Fault]:
    """Return what is wrong with an outline as a ring.

    Parameters
    ----------
    points : sequence of (float, float)
        Corners in order, the first not repeated at the end. [m]
    path : str
        Path of the outline in the job file.
    """
    if len(points) < 3:
        what = f"the outline has {len(points)} corners"
        return [Fault("few-corners", path, what, "give three or more, or leave the outline out")]
    if len(points) > MOST_CORNERS:
        what = f"the outline has {len(points)} corners, more than {MOST_CORNERS}"
        cure = "leave out those in the middle of a straight wall, or draw two rooms"
        return [Fault("too-many-corners", path, what, cure)]
    repeats = _repeats(points, path)
    if repeats:
        return repeats
    on_a_line = all(_turn(points[0], points[1], point) == 0 for point in points)
    crossings = [] if on_a_line else _crossings(points, path)
    if not crossings and (abs(ring_area(points)) < _SMALLEST or _turns(points) < 3):
        what = "the outline encloses no floor"
        return [Fault("no-area", path, what, "check the corners: they lie on one line")]
    return crossings


def ring_area(points: Sequence[Point]) -> float:
    """Return the signed area of a ring, positive if anticlockwise.

    Parameters
    ----------
    points : sequence of (float, float)
        Corners in order. [m]

    Returns
    -------
    float
        The area. [m2]
    """
    after = [*points[1:], points[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, after, strict=True)) / 2


def _repeats(points: Sequence[Point], path: str) -> list[Fault]:
    faults = []
    for n, point in enumerate(points):
        if math.dist(point, points[n - 1]) < _SAME:
            at = f"{path}[{n if n else len(points) - 1}]"
            what = (
                "the corner is the same as the one before it"
                if n
                else ("the last corner repeats the first")
            )
            faults.append(Fault("repeated-corner", at, what, "leave it out"))
    return faults


def _crossings(points: Sequence[Point], path: str) -> list[Fault]:
    """Return a fault for every two sides without a common corner that cross or touch.

    A side that runs back over its neighbour touches the side after it, so neighbours need no look.
    """
    count = len(points)
    sides = [(points[n], points[(n + 1) % count]) for n in range(count)]
    return [
        Fault(
            "self-crossing", f"{path}[{one}]",
            f"the side from corner {one} meets the side from corner {two}",
            "put the corners in order round the room; corners are counted from 0",
        )
        for one, two in sorted(islice(_meeting(sides), _MOST_TOLD))
    ]  # fmt: skip


def _meeting(sides: Sequence[tuple[Point, Point]]) -> Iterator[tuple[int, int]]:
    """Yield the pairs that meet; from the west, only sides that share some x are compared."""
    count = len(sides)
    reach = [(min(a[0], b[0]), max(a[0], b[0])) for a, b in sides]
    open_still: list[int] = []
    for new in sorted(range(count), key=lambda n: reach[n]):
        open_still = [old for old in open_still if reach[old][1] >= reach[new][0]]
        for old in open_still:
            one, two = min(old, new), max(old, new)
            if 1 < two - one < count - 1 and _meet(sides[one], sides[two]):
                yield one, two
        open_still.append(new)


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _turns(points: Sequence[Point]) -> int:
    """Return how many corners there are that do not lie in line with their neighbours."""
    around = zip([points[-1], *points[:-1]], points, [*points[1:], points[0]], strict=True)
    return sum(abs(_turn(*three)) > _SAME**2 for three in around)


def _meet(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    """Return whether two sides without a common corner cross or touch."""
    (a, b), (c, d) = first, second
    abc, abd, cda, cdb = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if ((abc > 0 > abd) or (abc < 0 < abd)) and ((cda > 0 > cdb) or (cda < 0 < cdb)):
        return True
    return any(
        turn == 0 and _within(p, start, end)
        for turn, p, start, end in (
            (abc, c, a, b), (abd, d, a, b), (cda, a, c, d), (cdb, b, c, d),
        )
    )  # fmt: skip


def _within(p: Point, a: Point, b: Point) -> bool:
    return min(a[0], b[0]) <= p[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= p[1] <= max(a[1], b[1])

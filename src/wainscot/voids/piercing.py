"""Which spaces a straight run passes through, in order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import shapely

from wainscot.plan.frame import to_frame
from wainscot.voids.space import Space

Point = tuple[float, float, float]

LONGEST_SOLID = 0.4
"""More solid than this between two spaces along a run is no single hole. [m]"""


def crossings(spaces: Sequence[Space], path: Sequence[Point]) -> list[tuple[int, int, Point]]:
    """Return (from, to, where) of each change of space along a run.

    Parameters
    ----------
    spaces : sequence of Space
        Spaces by index.
    path : sequence of (float, float, float)
        Corners of the run. [m]
    """
    found = []
    previous, left_at, left_point = -1, 0.0, (0.0, 0.0, 0.0)
    for v, start, stop, first, last in passed(spaces, path):
        if previous >= 0 and v != previous and start - left_at <= LONGEST_SOLID:
            x, y, z = ((a + b) / 2 for a, b in zip(left_point, first, strict=True))
            found.append((min(v, previous), max(v, previous), (x, y, z)))
        previous, left_at, left_point = v, stop, last
    return found


def passed(
    spaces: Sequence[Space], path: Sequence[Point]
) -> Iterator[tuple[int, float, float, Point, Point]]:
    """Yield (space, from, to, first point, last point) along a run; distances from its start. [m]

    Where one space stands within another (a cabinet in its room) the smaller counts.

    Parameters
    ----------
    spaces : sequence of Space
        Spaces by index.
    path : sequence of (float, float, float)
        Corners of the run. [m]
    """
    walked = 0.0
    for start, stop in pairwise(path):
        length = sum((b - a) ** 2 for a, b in zip(start, stop, strict=True)) ** 0.5
        if length < 1e-9:
            continue
        inside = [
            (v, low, high)
            for v, space in enumerate(spaces)
            for low, high in _intervals(space, start, stop)
        ]
        cuts = sorted({end for _, low, high in inside for end in (low, high)})
        for low, high in pairwise(cuts):
            middle = (low + high) / 2
            here = [v for v, a, b in inside if a <= middle <= b]
            if here and high - low > 1e-9:
                v = min(here, key=lambda one: (spaces[one].volume, one))
                yield (
                    v, walked + low * length, walked + high * length,
                    _point(start, stop, low), _point(start, stop, high),
                )  # fmt: skip
        walked += length


def _point(start: Point, stop: Point, share: float) -> Point:
    x, y, z = (a + share * (b - a) for a, b in zip(start, stop, strict=True))
    return (x, y, z)


def _intervals(space: Space, start: Point, stop: Point) -> Iterator[tuple[float, float]]:
    """Yield the shares of a segment that lie within a space's blocks."""
    if space.plot.shape is not None:
        yield from _through_outline(space, start, stop)
        return
    a, b = (to_frame(end[:2], space.plot.turn) for end in (start, stop))
    for west, south, east, north in space.rectangles:
        bounds = ((west, east), (south, north), (space.bottom, space.top))
        found = _clipped(bounds, (*a, start[2]), (*b, stop[2]))
        if found is not None:
            yield found


def _clipped(
    bounds: Sequence[tuple[float, float]], start: Sequence[float], stop: Sequence[float]
) -> tuple[float, float] | None:
    """Return the share of a segment within bounds along each axis, or None."""
    low, high = 0.0, 1.0
    for (least, most), a, b in zip(bounds, start, stop, strict=True):
        if abs(b - a) < 1e-12:
            if not least <= a <= most:
                return None
            continue
        one, other = (least - a) / (b - a), (most - a) / (b - a)
        low, high = max(low, min(one, other)), min(high, max(one, other))
    return (low, high) if high - low > 1e-9 else None


def _through_outline(space: Space, start: Point, stop: Point) -> Iterator[tuple[float, float]]:
    """Yield the same for a space that a slant has cut."""
    flat = shapely.LineString([start[:2], stop[:2]])
    spans = [(0.0, 1.0)]
    if flat.length > 1e-9:
        shared = flat.intersection(space.plot.polygon)
        spans = [
            (float(flat.project(shapely.Point(part.coords[0]))) / flat.length,
             float(flat.project(shapely.Point(part.coords[-1]))) / flat.length)
            for part in getattr(shared, "geoms", [shared])
            if isinstance(part, shapely.LineString) and not part.is_empty
        ]  # fmt: skip
    elif not space.plot.polygon.intersects(shapely.Point(start[:2])):
        return
    height = _clipped(((space.bottom, space.top),), start[2:], stop[2:])
    for one, other in spans:
        if height is not None:
            low, high = max(min(one, other), height[0]), min(max(one, other), height[1])
            if high - low > 1e-9:
                yield low, high

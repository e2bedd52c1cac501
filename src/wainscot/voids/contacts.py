"""Which spaces lie against each other: from which direction, how far apart, how much in common.

Two blocks are in contact if a solid no thicker than :data:`REACH` parts them in one direction while
they overlap in the other two, or if one stands inside the other (a cabinet in its room).  Blocks of
the same axes are compared as boxes, in closed form; what a slant has cut, or what is turned against
the other, by its outline.

Limits: whatever stands between two blocks is not looked for, so rules check the distance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import msgspec
import numpy as np
import shapely

from wainscot.arrays import Floats, Ints
from wainscot.plan.frame import Point2, to_world
from wainscot.voids.space import Form, Space

REACH = 0.45
"""Greatest solid between two spaces in contact. [m]"""
DIGITS = 7
"""Distances are compared to this many decimals of a metre."""
LEAST = 0.01
"""Least overlap along the other two axes. [m]"""
LEVEL = 0.02
"""How much nearer than the nearest point an outline still faces the other one. [m]"""
NARROWEST = 0.05
"""Outlines that have less than this in common along the wall meet at a corner only. [m]"""
PARALLEL = 0.7
"""Two directions whose cosine exceeds this run the same way. [1]"""


class Contact(msgspec.Struct, frozen=True):
    """Two spaces that lie against each other. [m]

    ``axis`` 0, 1 = side by side; 2 = one over the other; 3 = one stands within the other.
    """

    a: int
    b: int
    axis: int
    gap: float
    """Thickness of the solid between. [m]"""
    spans: tuple[float, float]
    """What they have in common in the other two directions; of a space within another its own.
    Side by side: along the wall, then in height. [m]"""
    at: tuple[float, float, float]
    normal: Point2 = (0.0, 0.0)
    """Unit vector from one to the other where they lie side by side. [1]"""

    def runs_with(self, way: Point2) -> bool:
        """Tell whether a direction leads from one to the other.

        Parameters
        ----------
        way : (float, float)
            Unit vector. [1]
        """
        return abs(self.normal[0] * way[0] + self.normal[1] * way[1]) > PARALLEL


def contacts(spaces: Sequence[Space]) -> list[Contact]:
    """Return every contact, one for each pair of spaces (the largest), by (a, b).

    Parameters
    ----------
    spaces : sequence of Space
        Spaces by index.
    """
    best: dict[tuple[int, int], Contact] = {}
    for contact in (*_between_boxes(spaces), *_between_outlines(spaces)):
        known = best.get((contact.a, contact.b))
        if known is not None and (known.axis, known.gap) == (contact.axis, contact.gap):
            best[contact.a, contact.b] = _joined(known, contact)
        elif known is None or _size(contact) > _size(known):
            best[contact.a, contact.b] = contact
    return [best[pair] for pair in sorted(best)]


def _joined(one: Contact, other: Contact) -> Contact:
    """Return two parts of one face as a whole, at the larger; its length is that of both."""
    first = max((one, other), key=_size)
    shared = 0 if abs(one.spans[1] - other.spans[1]) > abs(one.spans[0] - other.spans[0]) else 1
    total = one.spans[0] * one.spans[1] + other.spans[0] * other.spans[1]
    depth = max(one.spans[shared], other.spans[shared])
    spans = (total / depth, depth) if shared else (depth, total / depth)
    return msgspec.structs.replace(first, spans=spans)


def rooms_above(spaces: Sequence[Space], low: int, footprint: Any) -> list[int]:
    """Return the rooms next above a room over a part of its floor.

    Parameters
    ----------
    spaces : sequence of Space
        Spaces by index.
    low : int
        Index of the lower room.
    footprint : shapely.Polygon
        The part. [m]
    """
    over = [
        v
        for v, space in enumerate(spaces)
        if space.form == "room"
        and space.bottom > spaces[low].top - LEAST
        and space.plot.polygon.intersection(footprint).area > LEAST**2
    ]
    nearest = min((spaces[v].bottom for v in over), default=0.0)
    return [v for v in over if spaces[v].bottom < nearest + 1.0]


def by_forms(
    found: Sequence[Contact], spaces: Sequence[Space]
) -> dict[tuple[Form, Form], list[Contact]]:
    """Return contacts by the forms of their ends, each under both orders (a is the first)."""
    out: dict[tuple[Form, Form], list[Contact]] = {}
    for contact in found:
        one, other = spaces[contact.a].form, spaces[contact.b].form
        out.setdefault((one, other), []).append(contact)
        if one != other:
            out.setdefault((other, one), []).append(turned(contact))
    return out


def turned(one: Contact) -> Contact:
    """Return a contact from its other end."""
    return Contact(one.b, one.a, one.axis, one.gap, one.spans, one.at, one.normal)


def _between_boxes(spaces: Sequence[Space]) -> Iterator[Contact]:
    """Yield contacts of spaces that are rectangles in the same axes."""
    groups: dict[float, list[int]] = {}
    for v, space in enumerate(spaces):
        if space.plot.shape is None:
            groups.setdefault(space.plot.turn, []).append(v)
    for turn in sorted(groups):
        boxes, owner = _boxes(spaces, groups[turn])
        rooms = np.array([spaces[v].form == "room" for v in owner], dtype=np.bool_)
        one, other = _near(boxes)
        keep = (owner[one] != owner[other]) & ~(rooms[one] & rooms[other])
        one, other = one[keep], other[keep]
        apart = np.maximum(boxes[other, :3] - boxes[one, 3:], boxes[one, :3] - boxes[other, 3:])
        # Rounded, so that moving the whole house decides no tie differently.
        apart = np.round(apart, DIGITS)
        keep = ((apart < -LEAST).sum(axis=1) >= 2) & (apart.max(axis=1) <= REACH)
        yield from _box_contacts(boxes, owner, one[keep], other[keep], apart[keep], turn)


def _boxes(spaces: Sequence[Space], members: Sequence[int]) -> tuple[Floats, Ints]:
    rows, owner = [], []
    for v in members:
        space = spaces[v]
        for west, south, east, north in space.rectangles:
            rows.append((west, south, space.bottom, east, north, space.top))
            owner.append(v)
    return np.array(rows, dtype=np.float64).reshape(-1, 6), np.array(owner, dtype=np.int32)


def _near(boxes: Floats) -> tuple[Ints, Ints]:
    """Return the pairs of boxes within reach of each other in plan, by (one, other)."""
    flat = shapely.box(boxes[:, 0], boxes[:, 1], boxes[:, 3], boxes[:, 4])
    wide = shapely.box(
        boxes[:, 0] - REACH, boxes[:, 1] - REACH, boxes[:, 3] + REACH, boxes[:, 4] + REACH
    )
    one, other = shapely.STRtree(flat).query(wide)
    first = one < other
    one, other = one[first], other[first]
    order = np.lexsort((other, one))
    return one[order].astype(np.int32), other[order].astype(np.int32)


def _box_contacts(
    boxes: Floats, owner: Ints, one: Ints, other: Ints, apart: Floats, turn: float
) -> Iterator[Contact]:
    low = np.maximum(boxes[one, :3], boxes[other, :3])
    high = np.minimum(boxes[one, 3:], boxes[other, 3:])
    axis = np.argmax(apart, axis=1)
    gap = np.take_along_axis(apart, axis[:, None], axis=1)[:, 0]
    axis = np.where(gap < -LEAST, 3, axis)
    size = np.round(high - low, DIGITS).tolist()
    middle = ((low + high) / 2).tolist()
    first = np.minimum(owner[one], owner[other]).tolist()
    second = np.maximum(owner[one], owner[other]).tolist()
    gaps = np.maximum(gap, 0.0).tolist()
    normals = (to_world((1.0, 0.0), turn), to_world((0.0, 1.0), turn), (0.0, 0.0), (0.0, 0.0))
    others = ((1, 2), (0, 2), (0, 1), (0, 1))
    for n, way in enumerate(axis.tolist()):
        x, y, z = middle[n]
        p, q = others[way]
        at = (*to_world((x, y), turn), z)
        yield Contact(
            first[n], second[n], way, 0.0 if way == 3 else gaps[n], (size[n][p], size[n][q]), at,
            normals[way],
        )  # fmt: skip


def _between_outlines(spaces: Sequence[Space]) -> Iterator[Contact]:
    """Yield contacts of spaces of which one is cut or turned against the other."""
    turns = {space.plot.turn for space in spaces}
    odd = np.array([space.plot.shape is not None for space in spaces], dtype=np.bool_)
    if len(turns) < 2 and not odd.any():
        return
    shapes = np.array([space.plot.polygon for space in spaces], dtype=object)
    own = np.array([space.plot.turn for space in spaces])
    low = np.array([space.bottom for space in spaces])
    high = np.array([space.top for space in spaces])
    rooms = np.array([space.form == "room" for space in spaces], dtype=np.bool_)
    one, other = _near_shapes(shapes)
    up = np.round(np.maximum(low[other] - high[one], low[one] - high[other]), DIGITS)
    keep = (odd[one] | odd[other] | (own[one] != own[other])) & (up <= REACH)
    keep &= ~(rooms[one] & rooms[other])
    one, other, up = one[keep], other[keep], up[keep]
    shared = shapely.intersection(shapes[one], shapes[other])
    areas = shapely.area(shared)
    for n in range(len(one)):
        a, b = int(one[n]), int(other[n])
        z = (max(low[a], low[b]) + min(high[a], high[b])) / 2
        tall = min(high[a], high[b]) - max(low[a], low[b])
        if areas[n] > LEAST**2:
            within = up[n] < -LEAST
            long, wide = _sides_of(float(areas[n]), float(shapely.length(shared[n])))
            if wide > LEAST:
                point = shared[n].representative_point()
                at = (point.x, point.y, float(z))
                gap = 0.0 if within else max(float(up[n]), 0.0)
                yield Contact(a, b, 3 if within else 2, gap, (long, wide), at)
        elif tall > LEAST:
            beside = _beside(shapes[a], shapes[b])
            if beside is not None:
                gap, wide, (x, y), normal = beside
                at = (x, y, float(z))
                yield Contact(a, b, 0, gap, (wide, round(float(tall), DIGITS)), at, normal)


def _near_shapes(shapes: Any) -> tuple[Ints, Ints]:
    one, other = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=REACH)
    first = one < other
    order = np.lexsort((other[first], one[first]))
    return one[first][order].astype(np.int32), other[first][order].astype(np.int32)


def _sides_of(area: float, perimeter: float) -> tuple[float, float]:
    """Return the sides of the rectangle of an area and a perimeter, the longer first. [m]"""
    half = perimeter / 2
    root = max(half**2 / 4 - area, 0.0) ** 0.5
    long = half / 2 + root
    return round(long, DIGITS), round(area / long, DIGITS)


def _beside(one: Any, other: Any) -> tuple[float, float, Point2, Point2] | None:
    """Return (gap, common length, point, normal) of two outlines side by side, or None."""
    small, large = (one, other) if one.area <= other.area else (other, one)
    gap = float(shapely.distance(one, other))
    edge = shapely.intersection(
        small.exterior if hasattr(small, "exterior") else small.boundary,
        large.buffer(gap + LEVEL, join_style="mitre"),
    )
    points = shapely.get_coordinates(edge)
    if len(points) < 2:
        return None
    normal = _normal(one, other, gap, points)
    along = points @ np.array((-normal[1], normal[0]))
    wide = round(float(along.max() - along.min()), DIGITS)
    if wide < NARROWEST:
        return None
    middle = points.mean(axis=0)
    return round(gap, DIGITS), wide, (float(middle[0]), float(middle[1])), normal


def _normal(one: Any, other: Any, gap: float, points: Floats) -> Point2:
    """Return the direction from one outline to the other, square to the edge they share."""
    away = points - points.mean(axis=0)
    _, axes = np.linalg.eigh(away.T @ away)
    if gap > 1e-6:
        line = shapely.get_coordinates(shapely.shortest_line(one, other))
        way = (line[1] - line[0]) / gap
        # Square to the edge, unless only a corner looks at it.
        if abs(float(way @ axes[:, 1])) > 1 - PARALLEL:
            return (float(way[0]), float(way[1]))
    return (float(axes[0, 0]), float(axes[1, 0]))


def _size(contact: Contact) -> float:
    return contact.spans[0] * contact.spans[1] * (10.0 if contact.gap < 0.2 else 1.0)

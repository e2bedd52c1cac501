"""Which spaces lie against each other: across which axis, how far apart, how much in common.

Two blocks are in contact if a solid no thicker than :data:`REACH` parts them along one axis while
they overlap along the other two, or if one stands inside the other (a cabinet in its room).

Limits: whatever stands between two blocks is not looked for, so rules check the distance.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from wainscot.arrays import Floats, Ints
from wainscot.voids.space import Form, Space

REACH = 0.45
"""Greatest solid between two spaces in contact. [m]"""
DIGITS = 7
"""Distances are compared to this many decimals of a metre."""
LEAST = 0.01
"""Least overlap along the other two axes. [m]"""


class Contact(msgspec.Struct, frozen=True):
    """Two spaces that lie against each other. [m]

    ``axis`` 0, 1, 2 = x, y, z; 3 = one stands within the other.
    """

    a: int
    b: int
    axis: int
    gap: float
    """Thickness of the solid between. [m]"""
    spans: tuple[float, float]
    """Overlap along the other two axes, in order; of a space within another its own. [m]"""
    at: tuple[float, float, float]


def contacts(spaces: Sequence[Space]) -> list[Contact]:
    """Return every contact, one for each pair of spaces (the largest), by (a, b).

    Parameters
    ----------
    spaces : sequence of Space
        Spaces by index.
    """
    boxes, owner = _boxes(spaces)
    rooms = np.array([space.form == "room" for space in spaces], dtype=np.bool_)
    best: dict[tuple[int, int], Contact] = {}
    for one in range(len(boxes)):
        separate = _separation(boxes, one)
        touching = (separate < -LEAST).sum(axis=1) >= 2
        touching &= separate.max(axis=1) <= REACH
        others = owner[one + 1 :]
        touching &= (others != owner[one]) & ~(rooms[others] & rooms[owner[one]])
        for offset in np.nonzero(touching)[0]:
            contact = _contact(boxes, owner, one, one + 1 + int(offset), separate[offset])
            known = best.get((contact.a, contact.b))
            if known is None or _size(contact) > _size(known):
                best[contact.a, contact.b] = contact
    return [best[pair] for pair in sorted(best)]


def rooms_above(spaces: Sequence[Space], low: int, rectangle: tuple[float, ...]) -> list[int]:
    """Return the rooms next above a room over a rectangle of its floor.

    Parameters
    ----------
    spaces : sequence of Space
        Spaces by index.
    low : int
        Index of the lower room.
    rectangle : (float, float, float, float)
        West, south, east, north. [m]
    """
    over = [
        v
        for v, space in enumerate(spaces)
        if space.form == "room"
        and space.bottom > spaces[low].top - LEAST
        and any(_overlap(part, rectangle) > LEAST**2 for part in space.rectangles)
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
            turned = msgspec.structs.replace(contact, a=contact.b, b=contact.a)
            out.setdefault((other, one), []).append(turned)
    return out


def _boxes(spaces: Sequence[Space]) -> tuple[Floats, Ints]:
    rows, owner = [], []
    for v, space in enumerate(spaces):
        for west, south, east, north in space.rectangles:
            rows.append((west, south, space.bottom, east, north, space.top))
            owner.append(v)
    return np.array(rows, dtype=np.float64).reshape(-1, 6), np.array(owner, dtype=np.int32)


def _separation(boxes: Floats, one: int) -> Floats:
    """Return, for each later box, how far it lies from this one along each axis (< 0: overlap)."""
    rest = boxes[one + 1 :]
    apart = np.maximum(rest[:, :3] - boxes[one, 3:], boxes[one, :3] - rest[:, 3:])
    # Rounded, so that moving the whole house decides no tie differently.
    return np.asarray(np.round(apart, DIGITS), dtype=np.float64)


def _contact(boxes: Floats, owner: Ints, one: int, other: int, separate: Floats) -> Contact:
    low = np.maximum(boxes[one, :3], boxes[other, :3])
    high = np.minimum(boxes[one, 3:], boxes[other, 3:])
    axis = int(np.argmax(separate))
    if separate[axis] < -LEAST:
        axis, spans, gap = 3, (_size_of(high[0] - low[0]), _size_of(high[1] - low[1])), 0.0
    else:
        rest = [n for n in range(3) if n != axis]
        spans = (_size_of(high[rest[0]] - low[rest[0]]), _size_of(high[rest[1]] - low[rest[1]]))
        gap = max(float(separate[axis]), 0.0)
    middle = (low + high) / 2
    at = (float(middle[0]), float(middle[1]), float(middle[2]))
    a, b = int(owner[one]), int(owner[other])
    return Contact(min(a, b), max(a, b), axis, gap, spans, at)


def _size_of(distance: float) -> float:
    return round(float(distance), DIGITS)


def _size(contact: Contact) -> float:
    return contact.spans[0] * contact.spans[1] * (10.0 if contact.gap < 0.2 else 1.0)


def _overlap(one: Sequence[float], other: Sequence[float]) -> float:
    across = min(one[2], other[2]) - max(one[0], other[0])
    along = min(one[3], other[3]) - max(one[1], other[1])
    return max(across, 0.0) * max(along, 0.0)

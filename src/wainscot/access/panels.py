"""Rectangles on a surface, and the largest that keeps clear of what must not be cut.

On a wall ``u`` runs along it and ``v`` is the height; on a floor or ceiling ``u`` runs along the
joists and ``v`` across them.

Limits: an obstacle is a rectangle too, so a slanted pipe takes more room than it needs.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

MOST_OBSTACLES = 8
"""With more in the way than this nothing is cut by blade here."""


class Panel(msgspec.Struct, frozen=True):
    """A rectangle in the axes of a surface. [m]"""

    u_low: float
    u_high: float
    v_low: float
    v_high: float

    @property
    def width(self) -> float:
        """Along u. [m]"""
        return self.u_high - self.u_low

    @property
    def height(self) -> float:
        """Along v. [m]"""
        return self.v_high - self.v_low

    @property
    def area(self) -> float:
        """[m2]"""
        return max(self.width, 0.0) * max(self.height, 0.0)

    def meets(self, other: Panel) -> bool:
        """Return True where the two share more than an edge."""
        return (
            self.u_low < other.u_high - 1e-9
            and other.u_low < self.u_high - 1e-9
            and self.v_low < other.v_high - 1e-9
            and other.v_low < self.v_high - 1e-9
        )


def largest_free(
    room: Panel, obstacles: Sequence[Panel], least_u: float, least_v: float
) -> Panel | None:
    """Return the largest rectangle within ``room`` that meets no obstacle, or None.

    Parameters
    ----------
    room : Panel
        What there is to cut in.
    obstacles : sequence of Panel
        What must stay clear, margins included.
    least_u, least_v : float
        What is narrower or lower is no use. [m]
    """
    near = [one for one in obstacles if one.meets(room)]
    if len(near) > MOST_OBSTACLES:
        return None
    us = edges(room.u_low, room.u_high, [e for one in near for e in (one.u_low, one.u_high)])
    vs = edges(room.v_low, room.v_high, [e for one in near for e in (one.v_low, one.v_high)])
    best: Panel | None = None
    for left in us:
        for right in (u for u in us if u - left >= least_u - 1e-9):
            for low in vs:
                for high in (v for v in vs if v - low >= least_v - 1e-9):
                    one = Panel(left, right, low, high)
                    larger = best is None or one.area > best.area + 1e-12
                    if larger and not any(one.meets(other) for other in near):
                        best = one
    return best


def edges(low: float, high: float, between: Iterable[float]) -> list[float]:
    """Return both ends of a stretch with what lies between them, sorted. [m]

    Parameters
    ----------
    low, high : float
        Ends. [m]
    between : iterable of float
        Places; those at or past an end are left out. [m]
    """
    return sorted({low, high, *(one for one in between if low < one < high)})

"""One straight side of a room, measured in its own axes.

Limits: straight; a bow is drawn as several.
"""

from __future__ import annotations

import math
from typing import Literal

import msgspec

from wainscot.plan.frame import Point2, Rectangle, ring, to_frame, to_world

Axis = Literal["x", "y"]
Normal = Literal["n", "e", "s", "w"]

COMPASS = (
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
)  # fmt: skip
"""The eight winds, clockwise from north."""


class Side(msgspec.Struct, frozen=True):
    """One straight stretch of a room's outline, seen from inside the room.

    A side at a slant is measured in its own axes, turned by ``turn``; ``point`` and ``ring`` give
    places of the house.
    """

    room: str
    name: str
    """``n1``: faces north (or nearest to it), first from the west; e and w first from the south."""
    normal: Normal
    """The quarter that it faces; exactly between two the first of them clockwise."""
    level_line: float
    """The coordinate that is the same all along it (y for n and s, x for e and w). [m]"""
    low: float
    high: float
    """Ends along its own axis, low < high. [m]"""
    turn: float = 0.0
    """Angle of its own axes, anticlockwise from the house's. [rad]"""

    @property
    def id(self) -> str:
        """``kitchen/e1``."""
        return f"{self.room}/{self.name}"

    @property
    def axis(self) -> Axis:
        """Axis that it runs along, of its own axes."""
        return "x" if self.normal in "ns" else "y"

    @property
    def outward(self) -> int:
        """+1 where its wall lies towards greater coordinates, else -1."""
        return 1 if self.normal in "ne" else -1

    @property
    def rightward(self) -> int:
        """+1 where left to right, seen from inside, runs towards greater coordinates."""
        return 1 if self.normal in "nw" else -1

    @property
    def length(self) -> float:
        """Clear length. [m]"""
        return self.high - self.low

    @property
    def left(self) -> float:
        """Coordinate of the left corner along its axis. [m]"""
        return self.low if self.rightward > 0 else self.high

    @property
    def direction(self) -> Point2:
        """Unit vector outwards. [1]"""
        way = (0.0, float(self.outward)) if self.axis == "x" else (float(self.outward), 0.0)
        return to_world(way, self.turn)

    @property
    def facing(self) -> str:
        """The wind that it faces, of eight: ``north``, ``north-east``."""
        bearing = 90 * "nesw".index(self.normal) - math.degrees(self.turn)
        return COMPASS[round(bearing / 45) % 8]

    def coordinate(self, along: float) -> float:
        """Return the coordinate on its axis at a distance from the left corner. [m]

        Parameters
        ----------
        along : float
            Distance from the left corner. [m]
        """
        return self.left + self.rightward * along

    def point(self, along: float, out: float = 0.0) -> Point2:
        """Return a point of the house on this side. [m]

        Parameters
        ----------
        along : float
            Distance from the left corner. [m]
        out : float
            Distance from the inner face, outwards. [m]
        """
        on, level = self.coordinate(along), self.level_line + self.outward * out
        return to_world((on, level) if self.axis == "x" else (level, on), self.turn)

    def on_axis(self, point: Point2) -> float:
        """Return the coordinate along its axis of a point of the house. [m]

        Parameters
        ----------
        point : (float, float)
            The point. [m]
        """
        return to_frame(point, self.turn)[0 if self.axis == "x" else 1]

    def rectangle(self, low: float, high: float, near: float, far: float) -> Rectangle:
        """Return (west, south, east, north) of a strip outside this side, in its own axes. [m]

        Parameters
        ----------
        low, high : float
            Ends along its axis. [m]
        near, far : float
            Distances from the inner face, outwards; negative lies in the room. [m]
        """
        one = self.level_line + self.outward * near
        other = self.level_line + self.outward * far
        across = (min(one, other), max(one, other))
        if self.axis == "x":
            return (low, across[0], high, across[1])
        return (across[0], low, across[1], high)

    def ring(
        self, low: float, high: float, near: float, far: float
    ) -> tuple[Point2, Point2, Point2, Point2]:
        """Return the corners of a strip outside this side, anticlockwise. [m]

        Parameters
        ----------
        low, high : float
            Ends along its axis. [m]
        near, far : float
            Distances from the inner face, outwards; negative lies in the room. [m]
        """
        return ring(self.rectangle(low, high, near, far), self.turn)

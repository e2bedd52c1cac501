"""What a drawing holds, as frozen data.

A chain of dimensions keeps, for each stop, where it lies on the drawing and how far it is from the
datum on both tapes, rounded; what is written between two stops is the difference of these.  So what
is printed adds up, in either system: the chain closes.

    segments(chain, "m")     # [("410 mm", '1\\'-4 1/8"'), ...]
"""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

import msgspec

from wainscot.drawing.lengths import Grain, Way, other, rounded, shown
from wainscot.quantity import Units

Point = tuple[float, float]
Layer = Literal[
    "room", "member", "board", "service", "clear", "fixture", "void", "cut", "done", "outline",
]  # fmt: skip
"""What a shape stands for; layers of the DXF have these names."""
SignKind = Literal["datum", "pin", "pilot", "number", "corner", "blade", "look"]
Anchor = Literal["start", "middle", "end"]

SMALL, TEXT = 3.2, 3.6
"""Sizes of letters on paper; 9 pt is 3.2 mm. [mm]"""


class Shape(msgspec.Struct, frozen=True):
    """A line through points, or an area where it is closed."""

    layer: Layer
    points: tuple[Point, ...]
    """[m]"""
    closed: bool = False
    holes: tuple[tuple[Point, ...], ...] = ()
    """Outlines of what is left out of an area. [m]"""
    width: float = 0.0
    """True width of what the line stands for, such as a pipe. [m]"""


class Disc(msgspec.Struct, frozen=True):
    """A circle at its true size."""

    layer: Layer
    centre: Point
    """[m]"""
    radius: float
    """[m]"""


class Sign(msgspec.Struct, frozen=True):
    """A mark of fixed size on paper: datum, pin, pilot hole, number of an opening."""

    kind: SignKind
    at: Point
    """[m]"""
    text: str = ""
    turn: float = 0.0
    """Way it points, anticlockwise from right. [rad]"""
    faint: bool = False
    """True for what is not to be made."""
    nudge: Point = (0.0, 0.0)
    """Moved on paper so far right and up. [mm]"""
    leftward: bool = False
    """True where its letters stand to its left."""


class Letters(msgspec.Struct, frozen=True):
    """Words at a point."""

    at: Point
    """[m]"""
    text: str
    anchor: Anchor = "middle"
    size: float = SMALL
    """Height of the letters on paper. [mm]"""
    strong: bool = False
    nudge: Point = (0.0, 0.0)
    """Moved on paper so far right and up. [mm]"""


class Stop(msgspec.Struct, frozen=True):
    """One end of a dimension."""

    at: float
    """Coordinate on the drawing. [m]"""
    metric: float
    """From the datum, rounded on the metric tape. [m]"""
    inches: float
    """From the datum, rounded on the other. [m]"""
    name: str = ""
    """Letter of the mark."""

    def on(self, units: Units) -> float:
        """Return the distance from the datum on a tape. [m]"""
        return self.metric if units == "m" else self.inches


class Chain(msgspec.Struct, frozen=True):
    """Dimensions one behind the other along an axis, from a datum."""

    axis: Literal["x", "y"]
    stops: tuple[Stop, ...]
    """In the order of their coordinates."""
    base: float
    """Coordinate across the axis that the dimension line is set off from. [m]"""
    side: Literal[-1, 1]
    """Which way it is set off: -1 below or left, 1 above or right."""
    row: int = 0
    """How many lines lie between it and the base."""


class Drawing(msgspec.Struct, frozen=True):
    """One drawing."""

    key: str
    """Good as a file name."""
    title: str
    window: tuple[float, float, float, float]
    """West, south, east, north of what is shown. [m]"""
    shapes: tuple[Shape, ...] = ()
    discs: tuple[Disc, ...] = ()
    signs: tuple[Sign, ...] = ()
    letters: tuple[Letters, ...] = ()
    chains: tuple[Chain, ...] = ()
    units: Units = "m"
    grain: Grain = Grain(8, 0.005)
    north: float | None = None
    """Way north points, anticlockwise from right; None where it is not a plan. [rad]"""
    mirrored: bool = False
    box: tuple[float, float] = (124.0, 90.0)
    """Room on paper, width and height. [mm]"""
    about: str = ""
    """What it shows, in a sentence."""
    note: str = ""
    """What stands under it wherever it goes alone: whether it may be used, of what job."""


def stop(at: float, distance: float, grain: Grain, way: Way = "nearest", name: str = "") -> Stop:
    """Return a stop of a chain.

    Parameters
    ----------
    at : float
        Its coordinate on the drawing. [m]
    distance : float
        From the datum. [m]
    grain : Grain
        How fine it is told.
    way : {"nearest", "up", "down"}
        Where it is rounded to.
    name : str
        Letter of its mark.
    """
    return Stop(
        at, rounded(distance, "m", grain, way), rounded(distance, "ft-in", grain, way), name
    )


def segments(chain: Chain, units: Units, grain: Grain) -> list[tuple[str, str]]:
    """Return what is written between the stops of a chain, on both tapes.

    Parameters
    ----------
    chain : Chain
        The chain.
    units : {"ft-in", "m"}
        The reader's tape, told first.
    grain : Grain
        How fine.
    """
    tapes = (units, other(units))
    return [
        (
            shown(abs(b.on(tapes[0]) - a.on(tapes[0])), tapes[0], grain),
            shown(abs(b.on(tapes[1]) - a.on(tapes[1])), tapes[1], grain),
        )
        for a, b in pairwise(chain.stops)
    ]


def mirrored(drawing: Drawing) -> Drawing:
    """Return a drawing as it is seen from the other side: left and right change places.

    Distances from the datum stay.  Mirrored twice it is the same drawing again.

    Parameters
    ----------
    drawing : Drawing
        The drawing.
    """
    west, south, east, north = drawing.window
    return msgspec.structs.replace(
        drawing,
        window=(-east, south, -west, north),
        shapes=tuple(
            msgspec.structs.replace(
                one, points=_flip(one.points), holes=tuple(_flip(hole) for hole in one.holes)
            )
            for one in drawing.shapes
        ),
        discs=tuple(
            msgspec.structs.replace(one, centre=_other_side(one.centre)) for one in drawing.discs
        ),
        signs=tuple(
            msgspec.structs.replace(
                one,
                at=_other_side(one.at),
                turn=_turned(one.turn),
                nudge=_other_side(one.nudge),
                leftward=not one.leftward,
            )
            for one in drawing.signs
        ),
        letters=tuple(
            msgspec.structs.replace(
                one, at=_other_side(one.at), anchor=_ANCHORS[one.anchor],
                nudge=_other_side(one.nudge),
            )
            for one in drawing.letters
        ),
        chains=tuple(_chain(one) for one in drawing.chains),
        north=None if drawing.north is None else _turned(drawing.north),
        mirrored=not drawing.mirrored,
    )  # fmt: skip


_ANCHORS: dict[Anchor, Anchor] = {"start": "end", "middle": "middle", "end": "start"}
_PI = 3.141592653589793


def _other_side(point: Point) -> Point:
    return (0.0 - point[0], point[1])


def _flip(points: tuple[Point, ...]) -> tuple[Point, ...]:
    return tuple(_other_side(point) for point in points)


def _turned(turn: float) -> float:
    return _PI - turn


def _chain(one: Chain) -> Chain:
    if one.axis == "y":
        other_way: Literal[-1, 1] = 1 if one.side == -1 else -1
        return msgspec.structs.replace(one, base=0.0 - one.base, side=other_way)
    stops = tuple(msgspec.structs.replace(each, at=0.0 - each.at) for each in reversed(one.stops))
    return msgspec.structs.replace(one, stops=stops)

"""One enclosed space before it becomes a row of the graph.

``form`` says how it is framed, which is what passage rules ask about; ``kind`` is what people read.
A fixture's void has the form ``fixture`` whatever its type.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.plan.frame import Point2, Rectangle, to_world
from wainscot.plan.model import Axis, FixtureAt, Wall
from wainscot.voids.plots import Plot

NARROW_BELOW = 0.5
"""A void smaller than this is a narrow one unless its kind says otherwise. Judgement. [m3]"""

Form = Literal["room", "stud bay", "joist bay", "cavity", "lining", "crawl", "loft", "fixture"]


class Touch(msgspec.Struct, frozen=True):
    """A part of the plan's edge that the space lies against; ``at`` is its middle. [m]"""

    edge: str
    """Edge kind."""
    through: Literal["wall", "vent", "flue", "door", "floor", "ceiling", "roof"]
    side: str
    """``north side``, ``roof``, ``floor``."""
    area: float
    """[m2]"""
    at: tuple[float, float, float]


class Space(msgspec.Struct, frozen=True):
    """An enclosed space; its block is ``plot`` between ``bottom`` and ``top``.

    Lengths are in [m], the volume in [m3].
    """

    key: str
    form: Form
    kind: str
    letter: str
    words: str
    """For people; ``{label}`` stands where the label goes."""
    owner: str
    storey: str
    plot: Plot
    bottom: float
    top: float
    volume: float
    axis: Axis | Literal[""] = ""
    """Joist bays: the way the joists run, in the plot's axes.  Walls: the way the wall runs."""
    wall: Wall | None = None
    fixture: FixtureAt | None = None
    role: str = ""
    """The void's role within its fixture."""
    insulated: bool = False
    touches: tuple[Touch, ...] = ()
    own_faces: tuple[tuple[str, str], ...] = ()
    """(part, finish) of faces that its kind states."""
    own_harborage: str = ""
    """Class of harbourage that its kind states; empty: by size."""

    @property
    def hidden(self) -> bool:
        """True unless it is a room."""
        return self.form != "room"

    @property
    def harborage(self) -> str:
        """Class of harbourage: ``room``, ``narrow``, ``wide`` or ``warm``."""
        if not self.hidden:
            return "room"
        return self.own_harborage or ("narrow" if self.volume < NARROW_BELOW else "wide")

    @property
    def rectangles(self) -> tuple[Rectangle, ...]:
        """Its plot's rectangles, in the plot's own axes. [m]"""
        return self.plot.rectangles

    @property
    def direction(self) -> Point2:
        """Unit vector along its joists or its wall; (0, 0) if it has none. [1]"""
        if not self.axis:
            return (0.0, 0.0)
        return to_world((1.0, 0.0) if self.axis == "x" else (0.0, 1.0), self.plot.turn)

    @property
    def broadside(self) -> float:
        """Area of its largest face: cut lengthwise it adds up. [m2]"""
        west, south, east, north = self.plot.bounds
        width = self.area / max(east - west, north - south)
        return self.volume / min(width, self.top - self.bottom)

    @property
    def centre(self) -> tuple[float, float, float]:
        """Middle of its box. [m]"""
        x, y = self.plot.centre
        return (x, y, (self.bottom + self.top) / 2)

    @property
    def area(self) -> float:
        """Area in plan. [m2]"""
        return self.plot.area

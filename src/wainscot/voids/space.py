"""One enclosed space before it becomes a row of the graph.

``form`` says how it is framed, which is what passage rules ask about; ``kind`` is what people read.
A fixture's void has the form ``fixture`` whatever its type.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.plan.model import Axis, FixtureAt, Wall
from wainscot.voids.modules import Rectangle, area

Form = Literal["room", "stud bay", "joist bay", "cavity", "lining", "crawl", "loft", "fixture"]


class Touch(msgspec.Struct, frozen=True):
    """A part of the plan's edge that the space lies against; ``at`` is its middle. [m]"""

    edge: str
    """Edge kind."""
    through: Literal["wall", "door", "floor", "ceiling", "roof"]
    side: str
    """``north side``, ``roof``, ``floor``."""
    area: float
    """[m2]"""
    at: tuple[float, float, float]


class Space(msgspec.Struct, frozen=True):
    """An enclosed space; its block is ``rectangles`` between ``bottom`` and ``top``.

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
    rectangles: tuple[Rectangle, ...]
    bottom: float
    top: float
    volume: float
    axis: Axis | Literal[""] = ""
    """Joist bays: the way the joists run.  Walls: the way the wall runs."""
    wall: Wall | None = None
    fixture: FixtureAt | None = None
    role: str = ""
    """The void's role within its fixture."""
    insulated: bool = False
    touches: tuple[Touch, ...] = ()
    own_faces: tuple[tuple[str, str], ...] = ()
    """(part, finish) of faces that its kind states."""

    @property
    def hidden(self) -> bool:
        """True unless it is a room."""
        return self.form != "room"

    @property
    def centre(self) -> tuple[float, float, float]:
        """Middle of its box. [m]"""
        west = min(one[0] for one in self.rectangles)
        south = min(one[1] for one in self.rectangles)
        east = max(one[2] for one in self.rectangles)
        north = max(one[3] for one in self.rectangles)
        return ((west + east) / 2, (south + north) / 2, (self.bottom + self.top) / 2)

    @property
    def area(self) -> float:
        """Area in plan. [m2]"""
        return area(self.rectangles)

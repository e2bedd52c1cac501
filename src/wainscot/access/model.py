"""What a way to get at a void is, and what may have to be settled before anybody uses it.

An :class:`Act` is a kind of work (take a faceplate off, drill an inspection hole); one file in
``access/acts`` holds one.  An :class:`Access` is that act at one place of one plan.  A
:class:`Hazard` is one file in ``access/hazards``; at one place it gives a :class:`HoldPoint`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Literal

import msgspec

from wainscot.access.cutting import Override, Verdict
from wainscot.sources import Cited, judged

if TYPE_CHECKING:
    from wainscot.access.scene import Scene

Disturbance = Literal["none", "taken off", "hole", "cut"]
"""How far the building is touched: not at all; something comes off and goes back; a small hole
that is plugged; something is cut."""

Standing = Literal["find out", "stop", "care"]
"""``find out``: nobody knows yet, and work that cuts may not start.  ``stop``: known or presumed,
and a named person signs first.  ``care``: a caution that goes with the work."""

DEFER = "Follow local code, the label and your licensed trade."
"""Closes every hold point: this tool does not replace any of them."""


class HoldPoint(msgspec.Struct, frozen=True):
    """Something to settle before an access is used, or to mind while it is."""

    key: str
    """``lead/kitchen``: the hazard, and the place that one release is good for."""
    hazard: str
    standing: Standing
    words: str
    """What is the matter here; ends with :data:`DEFER`."""
    first: str
    """What to find out or do first, fits after "first": ``sweep both faces with a detector``."""
    who: str
    """Who may release it."""
    evidence: str
    """On what evidence."""
    source: str
    """Rule or page behind it, and how far it was read."""
    minutes: float = 0.0
    """Time that finding out takes on site. [min]"""
    instead_of: str = ""
    """Key of a hold point that this one takes the place of."""


class Reach(msgspec.Struct, frozen=True):
    """A void that an access reaches, and how much of it is seen from there."""

    void: int
    share: float
    """Share of the void that is seen. [1]"""


class CutAt(msgspec.Struct, frozen=True):
    """A piece of finish that is taken out, where it lies."""

    part: Literal["wall", "floor", "ceiling", "front"]
    room: str
    side: str
    """Side id of the wall's owner; empty for floors and ceilings."""
    outline: tuple[tuple[float, float], ...]
    """In plan: both ends of a cut in a wall, the corners of one in a floor or ceiling. [m]"""
    bottom: float
    """[m]"""
    top: float
    """Heights above level 0's floor; alike for floors and ceilings. [m]"""
    area: float
    """[m2]"""
    board: float
    """Thickness of what is cut. [m]"""
    sawn: bool = True
    """False where sheets or boards come off whole, to the corners."""


class Surface(msgspec.Struct, frozen=True):
    """A wall's face, a ceiling or a floor that is finished as a whole."""

    key: str
    words: str
    area: float
    """[m2]"""


ChargeKind = Literal["room", "finish", "enter", "water", "hold"]
"""``room``: set up, and out of use for a day.  ``finish``: a surface finished as a whole.
``enter``: a body goes into a space.  ``water``: off for a day.  ``hold``: to find out what a hold
point asks for."""


class Charge(msgspec.Struct, frozen=True):
    """Work that is paid once, however many openings share it."""

    key: str
    kind: ChargeKind
    of: str
    """Id of the room, key of the surface, the space or the hold point; empty for water."""
    words: str
    hours: float
    """[h]"""


class Target(msgspec.Struct, frozen=True):
    """One place where an act can be done, as its file finds it."""

    where: str
    """In words, fits into the act's sentence: ``the kick board of the sink units``."""
    key: str
    """Stable id of the place: void id, side or entity id."""
    reaches: tuple[Reach, ...] = ()
    room: str = ""
    """Room that the work is done from."""
    finish: str = ""
    """Finish that is touched; empty where none is."""
    area: float = 0.0
    """Finish that is removed or broken. [m2]"""
    at: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Where, in plan axes. [m]"""
    sources: tuple[int, ...] = ()
    """Ways in that it speaks about."""
    answers: str = ""
    """Question of a framing guess that it settles."""
    cuts: tuple[CutAt, ...] = ()
    """Openings: what is cut."""
    surface: Surface | None = None
    """Openings: what is finished as a whole once any of it is cut."""
    enters: str = ""
    """Openings: key of the space that a body goes into first."""
    limits: tuple[Verdict, ...] = ()
    """Openings: what the structural limits say."""
    lifted: float = 0.0
    """Openings: insulation that is lifted and laid back. [m2]"""
    given: str = ""
    """Openings: id of the cut that somebody on the job drew; it is in every set.  Else empty."""
    find_members: str = ""
    """Openings: what must be found before the saw, and where (``stud|keys|room``); else empty."""


class Act(msgspec.Struct, frozen=True):
    """One kind of work by which a void is seen or reached."""

    name: str
    sentence: str
    """``Take off {where}``."""
    method: str
    """Method of inspection, as in the sign tables; empty where it settles framing or a drain."""
    find: Callable[[Scene], Iterable[Target]]
    """Every place where it can be done."""
    minutes: Cited = judged(0.0, "min", "openings take their hours from the book")
    """Looks: time on site. [min]"""
    purpose: Literal["look", "open"] = "look"
    """Whether it is done to see a little, or to lay the void open and work in it."""
    work: str = ""
    """Openings: the row of the book's hours of work."""
    water_off: bool = False
    licensed: bool = False
    """True where somebody licensed has to undo gas or mains first."""
    made_good: bool = True
    """False where what is cut is closed by the work itself, such as an access panel."""
    repair: dict[str, Cited] = {}
    """Time to make good by finish; ``""`` for any other finish. [min]"""
    disturbance: Disturbance = "none"
    enters: bool = False
    """True where a person's body goes in."""
    from_part: Literal["", "wall", "floor", "ceiling", "front"] = ""
    """Side of the void that is touched."""
    bares_terminals: bool = False
    """True where live parts lie open meanwhile."""
    nights: int = 0
    """Nights before the return visit; 0 where there is none."""
    shows: tuple[tuple[float, float, float], ...] = ()
    """For ways in: chance of each outcome by never / past / now, "nothing" first. [1]"""
    right: float = 0.0
    """For framing facts: chance that the look tells the framing rightly. [1]"""

    @property
    def breaks(self) -> bool:
        """True where a finish is drilled or cut."""
        return self.disturbance in ("hole", "cut")


class Access(msgspec.Struct, frozen=True):
    """One way to get at one or more voids of this plan."""

    id: str
    """Act and place; stable while the place is."""
    act: str
    words: str
    reaches: tuple[Reach, ...]
    room: str
    minutes: float
    """On site, the return visit included. [min]"""
    repair: float
    """To make good. [min]"""
    finish: str
    area: float
    """Finish broken. [m2]"""
    disturbance: Disturbance
    method: str
    nights: int
    at: tuple[float, float, float]
    """[m]"""
    holds: tuple[HoldPoint, ...] = ()
    released: tuple[HoldPoint, ...] = ()
    """What held here until a named person released it."""
    sources: tuple[int, ...] = ()
    shows: tuple[tuple[float, float, float], ...] = ()
    """For ways in: chance of each outcome by never / past / now. [1]"""
    answers: str = ""
    """Question about the framing that it settles."""
    right: float = 0.0
    """Chance that it tells the framing rightly. [1]"""
    limits: tuple[Verdict, ...] = ()
    """Structural verdicts; empty for every look, because no look cuts framing."""
    cuts: tuple[CutAt, ...] = ()
    """Openings: what is cut."""
    surface: str = ""
    """Openings: key of the surface that is finished as a whole."""
    charges: tuple[Charge, ...] = ()
    """Openings: work that is paid once, however many openings share it."""
    water_off: bool = False
    given: str = ""
    """Openings: id of the cut that somebody on the job drew; it is in every set.  Else empty."""

    @property
    def first(self) -> tuple[HoldPoint, ...]:
        """What must be found out before this may start; empty where it may."""
        if self.disturbance in ("none", "taken off"):
            return ()
        return tuple(hold for hold in self.holds if hold.standing == "find out")


class Hazard(msgspec.Struct, frozen=True):
    """One danger: where it is to be thought of, and what then holds."""

    name: str
    find: Callable[[Scene, Act, Target], HoldPoint | None]
    """The hold point at this place, or None where the hazard does not arise."""
    together: Callable[[Sequence[Access], Site], dict[str, HoldPoint]] | None = None
    """By room: what arises only from several ways taken together, such as an area that adds up."""


class Site(msgspec.Struct, frozen=True):
    """Facts of the whole building that hazards hang on, and what has been released."""

    year_built: int | None = None
    country: str = ""
    released: frozenset[str] = frozenset()
    """Keys of hold points that a named person has released."""
    overrides: tuple[Override, ...] = ()
    """Structural limits that named persons have set aside."""

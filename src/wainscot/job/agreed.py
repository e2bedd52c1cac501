"""Kinds of entity that people lay down about openings: drawn, signed for, declined, settled."""

from __future__ import annotations

from typing import Literal

from wainscot.job.parts import Entity, Length


class OwnCut(Entity, tag="own_cut", frozen=True):
    """A cut that somebody on the job drew: a rectangle in a wall, a floor or a ceiling of a room.

    ``along`` is from the left corner of ``side``, as you face it, to the cut's left edge.  In a
    wall ``bottom`` is over the finished floor and ``height`` goes up from there; in a floor or
    ceiling ``bottom`` is the distance from that side's wall and ``height`` goes out into the room.
    """

    room: str
    side: str
    along: Length
    width: Length
    height: Length
    bottom: Length = 0.0
    part: Literal["wall", "floor", "ceiling"] = "wall"
    by: str = ""
    at: str = ""
    note: str = ""


class Authorisation(Entity, tag="authorisation", frozen=True):
    """What the owner signed for: openings by id, who signed and when.

    A later one for openings that widen what was signed before is a change order; ``price`` is what
    was told, as typed.  ``signature`` is what the finger drew: the path data of SVG, moves and
    lines in a box 320 wide and 120 high.
    """

    openings: list[str]
    by: str
    at: str = ""
    price: str = ""
    note: str = ""
    signature: str = ""


class Release(Entity, tag="release", frozen=True):
    """A hold point that a named person has settled: which one, who, on what evidence.

    ``hold`` is its key, such as ``lead/kitchen``: the hazard, and the place that one release is
    good for.  Without evidence nothing is released.
    """

    hold: str
    by: str
    evidence: str
    at: str = ""
    note: str = ""


class Declined(Entity, tag="declined", frozen=True):
    """An opening that the owner does not want; it stays on the plan with the risk it leaves."""

    opening: str
    by: str
    at: str = ""
    reason: str = ""


class LimitOverride(Entity, tag="limit_override", frozen=True):
    """A structural limit that a named person sets aside, with the reason; both are printed."""

    rule: str
    reason: str
    by: str
    at: str = ""

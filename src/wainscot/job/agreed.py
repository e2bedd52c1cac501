"""Kinds of entity that people sign or say of openings: signed for, declined, settled, set aside."""

from __future__ import annotations

from wainscot.job.parts import Entity


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

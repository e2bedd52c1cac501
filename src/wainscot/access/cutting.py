"""What a cut into a structural member is judged by: member, cut, rule, edition, verdict.

One file in ``access/limits`` holds one :class:`Edition`: one code as one year printed it.  A rule
compares one measure of the cut with one limit of the member; both stand in the verdict::

    verdicts = judge(Member("joist", depth=0.235), Cut("notch", size=0.030, at=0.3), country="US")
    allowed(verdicts)

Model codes are law only as adopted and amended where the house stands; every rule can be set aside
with a reason and a name, which stay in the verdict and are printed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec

from wainscot.sources import Cited, Status

MemberKind = Literal["joist", "stud", "plate", "leaf", "subfloor", "board", "floor opening"]
CutKind = Literal["notch", "hole", "chase", "patch", "header"]
Sense = Literal["at most", "at least", "never"]


class Member(msgspec.Struct, frozen=True):
    """A part of the structure that somebody wants to cut."""

    kind: MemberKind
    depth: float
    """Joist: its depth; stud and plate: their width across the wall; leaf: its thickness. [m]"""
    span: float | None = None
    """Clear span of a joist; None where nobody measured it. [m]"""
    bearing: Literal["yes", "no", "unknown"] = "unknown"
    """Unknown is judged as bearing."""
    engineered: bool = False
    """True for I-joists, trusses, laminated veneer lumber, glued laminated timber."""
    doubled: bool = False
    """True where two members stand side by side."""
    hollow: float | None = None
    """Solid material between the surface and the hollow of a block. [m]"""


class Cut(msgspec.Struct, frozen=True):
    """What somebody wants to take out of a member."""

    kind: CutKind
    size: float
    """Depth of a notch or chase, diameter of a hole, length of a header [m]; area of a patch."""
    length: float = 0.0
    """Along the member. [m]"""
    face: Literal["top", "bottom", "end"] = "top"
    at: float | None = None
    """From the nearer bearing to the middle of a hole or the near end of a notch. [m]"""
    edge: float | None = None
    """From the rim of a hole to the member's nearest edge; None: bored in the middle. [m]"""
    to_notch: float | None = None
    """To the nearest notch; None where there is none. [m]"""
    to_hole: float | None = None
    """To the nearest other hole, rim to rim; None where there is none. [m]"""
    other_size: float = 0.0
    """Diameter of that other hole. [m]"""
    in_a_row: int = 1
    """Doubled studs bored one after the other, this one included."""
    run: Literal["vertical", "horizontal"] = "vertical"
    back_to_back: bool = False
    """True where a chase lies behind this one in the other face."""
    to_chase: float | None = None
    """To the nearest other chase; None where there is none. [m]"""
    to_support: float | None = None
    """To the nearest pilaster, cross wall or buttress; None where there is none. [m]"""
    backed: bool = False
    """True where every edge of a patch lies on a member or on blocking."""


def near_end(member: Member, cut: Cut) -> float | None:
    """Return how far a cut's near end, or a hole's middle, lies from the nearer bearing. [m]

    None where the cut or the span was not measured: limits are shares of the span.

    Parameters
    ----------
    member : Member
        What is cut.
    cut : Cut
        The cut.
    """
    return cut.at if member.span is not None else None


def far_end(member: Member, cut: Cut) -> float | None:
    """Return how far a cut's far end lies from the nearer bearing, None as above. [m]

    Parameters
    ----------
    member : Member
        What is cut.
    cut : Cut
        The cut.
    """
    return None if cut.at is None or member.span is None else cut.at + cut.length


class Rule(msgspec.Struct, frozen=True):
    """One sentence of a code as a comparison."""

    name: str
    """``R502.8.1 notch depth``."""
    topic: str
    """What it limits, the same word in every code: ``joist notch depth``."""
    member: MemberKind
    cut: CutKind
    asked: Callable[[Member, Cut], float | None]
    """The cut's measure; None where nobody measured what it needs. [m]"""
    limit: Callable[[Member, Cut], Cited]
    sense: Sense = "at most"
    applies: Callable[[Member, Cut], bool] = lambda member, cut: True
    needs: str = ""
    """What makes the cut allowed all the same, if it goes past the limit; empty: refused."""
    note: str = ""
    """Doubt or conflict about the rule that people are told."""
    measure: str = ""
    """What to measure where ``asked`` is None."""


class Edition(msgspec.Struct, frozen=True):
    """One code and edition."""

    name: str
    """``IRC 2018``."""
    countries: tuple[str, ...]
    """Where it is asked; empty: everywhere."""
    rules: tuple[Rule, ...]
    caution: str
    """What it does not speak about, in one sentence."""


class Override(msgspec.Struct, frozen=True):
    """A limit that a named person sets aside."""

    rule: str
    """Name of the rule."""
    reason: str
    by: str


class Verdict(msgspec.Struct, frozen=True):
    """What one rule says to one cut."""

    allowed: bool
    limit: float
    """Exact limit. [m]"""
    asked: float | None
    """The cut's measure; None where it was not measured. [m]"""
    rule: str
    topic: str
    edition: str
    source: str
    status: Status
    words: str
    nearest: tuple[float, ...] = ()
    """Nearest value that would do, rounded to the safe side; two ends of a cut between members.
    [m]"""
    needs: str = ""
    """What has to be added for the cut to be allowed."""
    overridden: str = ""
    """Reason and name, where somebody set the rule aside."""
    sense: Sense = "at most"

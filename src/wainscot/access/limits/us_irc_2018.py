"""United States: International Residential Code 2018, sawn joists, studs, top plates, floor frames.

Joists R502.8.1 (the same numbers in R802.7.1 for rafters and ceiling joists), studs R602.6, top
plates R602.6.1, floor openings R502.10.  Read in copies and pages that quote it; law only as
adopted and amended where the house stands.
"""

from __future__ import annotations

from wainscot.access.cutting import Cut, CutKind, Edition, Member, Rule, far_end
from wainscot.sources import Cited, Status

INCH = 0.0254
_JOIST = "IRC 2018 R502.8.1"
_STUD = "IRC 2018 R602.6"
_PLATE = "IRC 2018 R602.6.1"
_MARGIN = 2 * INCH


def _joist(value: float, where: str, status: Status = "second-hand") -> Cited:
    return Cited(value, "m", _JOIST, where, status)


def _stud(value: float, where: str) -> Cited:
    return Cited(value, "m", _STUD, where, "read")


def _third_of_span(member: Member, cut: Cut) -> Cited:
    where = "no notch in the middle third of the span"
    return _joist((member.span or 0.0) / 3, where)


def _hole(member: Member, cut: Cut) -> Cited:
    """A third of the depth, and never so wide that less than 2 in is left on either side."""
    third, between = member.depth / 3, max(member.depth - 2 * _MARGIN, 0.0)
    if between < third:
        return _joist(between, "2 in left at top and bottom", "derived")
    return _joist(third, "hole d/3")


def _rim(member: Member, cut: Cut) -> float:
    return (member.depth - cut.size) / 2 if cut.edge is None else cut.edge


def _bears(member: Member) -> bool:
    return member.bearing != "no"


def _stud_notch(member: Member, cut: Cut) -> Cited:
    if _bears(member):
        return _stud(0.25 * member.depth, "25 per cent, exterior or bearing")
    return _stud(0.40 * member.depth, "40 per cent, nonbearing")


def _stud_hole(member: Member, cut: Cut) -> Cited:
    if not _bears(member):
        return _stud(0.60 * member.depth, "60 per cent, nonbearing")
    if member.doubled:
        return _stud(0.60 * member.depth, "60 per cent, bearing and doubled")
    return _stud(0.40 * member.depth, "40 per cent, bearing")


_JOISTS = (
    Rule(
        "R502.8.1 notch depth", "joist notch depth", "joist", "notch",
        lambda member, cut: cut.size,
        lambda member, cut: _joist(member.depth / 6, "notch d/6"),
        applies=lambda member, cut: cut.face == "top",
    ),
    Rule(
        "R502.8.1 end notch", "joist end notch", "joist", "notch",
        lambda member, cut: cut.size,
        lambda member, cut: _joist(member.depth / 4, "end notch d/4"),
        applies=lambda member, cut: cut.face == "end",
    ),
    Rule(
        "R502.8.1 notch length", "joist notch length", "joist", "notch",
        lambda member, cut: cut.length,
        lambda member, cut: _joist(member.depth / 3, "notch length d/3"),
        applies=lambda member, cut: cut.face != "end",
    ),
    Rule(
        "R502.8.1 middle third", "joist notch from the bearing", "joist", "notch",
        far_end, _third_of_span,
        applies=lambda member, cut: cut.face == "top",
        measure="measure the span and the distance from the bearing",
    ),
    Rule(
        "R502.8.1 bottom notch", "notch in the underside of a joist", "joist", "notch",
        lambda member, cut: cut.size,
        lambda member, cut: _joist(0.0, "no tension-side notch in members 4 in or more thick"),
        sense="never",
        applies=lambda member, cut: cut.face == "bottom",
        note="the text forbids it for members 4 in nominal or thicker, one page reads 4 in as "
        "the depth; the safer reading refuses every notch in the underside",
    ),
    Rule(
        "R502.8.1 hole", "joist hole diameter", "joist", "hole",
        lambda member, cut: cut.size, _hole,
        note="some tables print 1-13/16 in for a 2x6 and forget the 2 in margins; the smaller "
        "value is used",
    ),
    Rule(
        "R502.8.1 hole to edge", "joist hole to the edge", "joist", "hole",
        _rim, lambda member, cut: _joist(_MARGIN, "2 in from top and bottom"),
        sense="at least",
    ),
    Rule(
        "R502.8.1 hole to notch", "joist hole to a notch", "joist", "hole",
        lambda member, cut: cut.to_notch,
        lambda member, cut: _joist(_MARGIN, "2 in from any notch"),
        sense="at least",
        applies=lambda member, cut: cut.to_notch is not None,
    ),
    Rule(
        "R502.8.1 hole to hole", "joist hole to hole", "joist", "hole",
        lambda member, cut: cut.to_hole,
        lambda member, cut: _joist(_MARGIN, "2 in from any other hole"),
        sense="at least",
        applies=lambda member, cut: cut.to_hole is not None,
    ),
)  # fmt: skip

_STUDS = (
    Rule("R602.6 notch", "stud notch depth", "stud", "notch",
         lambda member, cut: cut.size, _stud_notch),
    Rule("R602.6 hole", "stud hole diameter", "stud", "hole",
         lambda member, cut: cut.size, _stud_hole),
    Rule(
        "R602.6 hole to edge", "stud hole to the edge", "stud", "hole",
        _rim, lambda member, cut: _stud(5 / 8 * INCH, "no closer than 5/8 in to the edge"),
        sense="at least",
        note="one copy prints not more than 5/8 in; the others have it as the least, and so it is "
        "used",
    ),
    Rule(
        "R602.6 same section", "stud hole away from a notch", "stud", "hole",
        lambda member, cut: cut.to_notch,
        lambda member, cut: Cited(INCH / 16, "m", _STUD, "not in one section with a notch", "read"),
        sense="at least",
        applies=lambda member, cut: cut.to_notch is not None,
    ),
    Rule(
        "R602.6 doubled in a row", "bored doubled studs in a row", "stud", "hole",
        lambda member, cut: float(cut.in_a_row),
        lambda member, cut: Cited(2.0, "1", _STUD, "not more than two successive", "read"),
        applies=lambda member, cut: (
            _bears(member) and member.doubled and cut.size > 0.40 * member.depth
        ),
    ),
)  # fmt: skip

HEADER = Cited(48 * INCH, "m", "IRC 2018 R502.10", "single header up to 4 ft", "second-hand")
BEARING = Cited(0.75 * INCH, "m", "IRC 2018 R702.3.5 and GA-216", "3/4 in bearing", "memory")


def _plate(name: str, cut: CutKind) -> Rule:
    """One sentence of the code speaks of plates cut, drilled or notched."""
    return Rule(
        name, "top plate cut", "plate", cut,
        lambda member, cut: cut.size,
        lambda member, cut: Cited(0.5 * member.depth, "m", _PLATE, "50 per cent", "read"),
        applies=lambda member, cut: _bears(member),
        needs="fix a galvanised metal tie of at least 0.054 in (1.37 mm) by 1-1/2 in (38 mm) "
        "across the cut and to each side of it",
    )  # fmt: skip


_OTHERS = (
    _plate("R602.6.1 plate", "notch"),
    _plate("R602.6.1 plate hole", "hole"),
    Rule(
        "R502.10 header", "header of a floor opening", "floor opening", "header",
        lambda member, cut: cut.size, lambda member, cut: HEADER,
        applies=lambda member, cut: not member.doubled,
        note="longer only with header and trimmers doubled and drawn",
    ),
    Rule(
        "R702.3.5 patch edges", "bearing of a board patch", "board", "patch",
        lambda member, cut: BEARING.value if cut.backed else 0.0,
        lambda member, cut: BEARING,
        sense="at least",
        needs="screw cleats or backing behind the edges that lie on no stud",
    ),
)  # fmt: skip

EDITION = Edition(
    "IRC 2018",
    ("US",),
    (*_JOISTS, *_STUDS, *_OTHERS),
    "Speaks of sawn lumber only; rafters and ceiling joists have the same numbers in R802.7.1.",
)

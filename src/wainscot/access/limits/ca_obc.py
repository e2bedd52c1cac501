"""Canada: Ontario Building Code, division B 9.23.5 and 9.20.7.3, as federal guide pages give it.

The pages read name no edition year; check the one in force.
"""

from __future__ import annotations

from wainscot.access.cutting import Cut, Edition, Member, Rule
from wainscot.sources import Cited

_CODE = "Ontario Building Code 9.23.5 (guide pages, year not stated)"
_CHASE = "Ontario Building Code 9.20.7.3 (guide pages, year not stated)"
_EDGE = 0.050


def _cited(value: float, where: str, source: str = _CODE) -> Cited:
    return Cited(value, "m", source, where, "read")


def _hole(member: Member, cut: Cut) -> Cited:
    quarter, between = member.depth / 4, max(member.depth - 2 * _EDGE, 0.0)
    if between < quarter:
        return Cited(between, "m", _CODE, "50 mm left at top and bottom", "derived")
    return _cited(quarter, "hole d/4")


def _far_end(member: Member, cut: Cut) -> float | None:
    return None if cut.at is None else cut.at + cut.length


_LUMBER = (
    Rule("9.23.5 hole", "joist hole diameter", "joist", "hole",
         lambda member, cut: cut.size, _hole),
    Rule(
        "9.23.5 hole to edge", "joist hole to the edge", "joist", "hole",
        lambda member, cut: (member.depth - cut.size) / 2 if cut.edge is None else cut.edge,
        lambda member, cut: _cited(_EDGE, "50 mm from the edges"),
        sense="at least",
    ),
    Rule(
        "9.23.5 notch depth", "joist notch depth", "joist", "notch",
        lambda member, cut: cut.size, lambda member, cut: _cited(member.depth / 3, "notch d/3"),
        applies=lambda member, cut: cut.face != "bottom",
    ),
    Rule(
        "9.23.5 notch place", "joist notch from the bearing", "joist", "notch",
        _far_end, lambda member, cut: _cited(member.depth / 2, "within d/2 of the bearing"),
        applies=lambda member, cut: cut.face == "top",
        measure="measure the distance from the bearing",
    ),
    Rule(
        "9.23.5 bottom notch", "notch in the underside of a joist", "joist", "notch",
        lambda member, cut: cut.size, lambda member, cut: _cited(0.0, "top edge only"),
        sense="never",
        applies=lambda member, cut: cut.face == "bottom",
    ),
    *(
        Rule(
            f"9.23.5 bearing stud {kind}", f"bearing stud {kind}", "stud", kind,
            lambda member, cut: cut.size,
            lambda member, cut: _cited(member.depth / 3, "1/3 of the stud"),
            applies=lambda member, cut: member.bearing != "no",
            needs="reinforce the stud with 38 mm lumber, 600 mm past the cut on each side",
        )
        for kind in ("notch", "hole")
    ),
    *(
        Rule(
            f"9.23.5 partition stud {kind}", f"partition stud {kind}", "stud", kind,
            lambda member, cut: member.depth - cut.size,
            lambda member, cut: _cited(0.040, "40 mm left solid"),
            sense="at least",
            applies=lambda member, cut: member.bearing == "no",
        )
        for kind in ("notch", "hole")
    ),
    *(
        Rule(
            f"9.23.5 top plate {kind}", f"top plate left by a {kind}", "plate", kind,
            lambda member, cut: member.depth - cut.size,
            lambda member, cut: _cited(0.050, "50 mm left"),
            sense="at least",
            needs="reinforce the plate over the cut",
        )
        for kind in ("notch", "hole")
    ),
)  # fmt: skip

_MASONRY = (
    Rule(
        "9.20.7.3 chases apart", "chase to chase", "leaf", "chase",
        lambda member, cut: cut.to_chase,
        lambda member, cut: _cited(4 * member.depth, "4 wall thicknesses apart", _CHASE),
        sense="at least",
        applies=lambda member, cut: cut.to_chase is not None,
    ),
    Rule(
        "9.20.7.3 support", "chase to a pilaster or cross wall", "leaf", "chase",
        lambda member, cut: cut.to_support,
        lambda member, cut: _cited(0.600, "600 mm from pilaster, cross wall, buttress", _CHASE),
        sense="at least",
        applies=lambda member, cut: cut.to_support is not None,
    ),
)  # fmt: skip

EDITION = Edition(
    "Ontario Building Code",
    ("CA",),
    (*_LUMBER, *_MASONRY),
    "Depth of chases is not given on the pages read.",
)

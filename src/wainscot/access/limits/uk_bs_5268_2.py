"""United Kingdom: BS 5268-2 (withdrawn 2010) as trade guidance, NBS and old Approved Document A
repeat it: solid joists up to 250 mm deep, simply supported.
"""

from __future__ import annotations

from wainscot.access.cutting import Cut, Edition, Member, Rule, far_end, near_end
from wainscot.sources import Cited

_RULE = "BS 5268-2, also NBS clause 670 (2014) and Approved Document A before 2004"
_ASK = "measure the span and the distance from the bearing"


def _cited(value: float, where: str) -> Cited:
    return Cited(value, "m", _RULE, where, "second-hand")


def _span(member: Member) -> float:
    return member.span or 0.0


def _centres(member: Member, cut: Cut) -> float:
    return (cut.to_hole or 0.0) + (cut.size + cut.other_size) / 2


EDITION = Edition(
    "BS 5268-2",
    ("UK",),
    (
        Rule("notch depth", "joist notch depth", "joist", "notch",
             lambda member, cut: cut.size,
             lambda member, cut: _cited(0.125 * member.depth, "notch 0.125 d"),
             applies=lambda member, cut: cut.face != "bottom",
             note="NHBC 2020 has 0.15 d; the smaller is used"),
        Rule("notch from", "joist notch, least distance from the bearing", "joist", "notch",
             near_end, lambda member, cut: _cited(0.07 * _span(member), "from 0.07 of the span"),
             sense="at least", measure=_ASK),
        Rule("notch to", "joist notch, greatest distance from the bearing", "joist", "notch",
             far_end, lambda member, cut: _cited(0.25 * _span(member), "to 0.25 of the span"),
             measure=_ASK),
        Rule("hole", "joist hole diameter", "joist", "hole",
             lambda member, cut: cut.size,
             lambda member, cut: _cited(0.25 * member.depth, "hole 0.25 d")),
        Rule("hole from", "joist hole, least distance from the bearing", "joist", "hole",
             near_end, lambda member, cut: _cited(0.25 * _span(member), "from 0.25 of the span"),
             sense="at least", measure=_ASK),
        Rule("hole to", "joist hole, greatest distance from the bearing", "joist", "hole",
             near_end, lambda member, cut: _cited(0.4 * _span(member), "to 0.4 of the span"),
             measure=_ASK),
        Rule("hole centres", "joist hole centres", "joist", "hole",
             _centres,
             lambda member, cut: _cited(3 * max(cut.size, cut.other_size), "3 diameters"),
             sense="at least", applies=lambda member, cut: cut.to_hole is not None),
        Rule("hole to notch", "joist hole to a notch", "joist", "hole",
             lambda member, cut: cut.to_notch, lambda member, cut: _cited(0.100, "100 mm"),
             sense="at least", applies=lambda member, cut: cut.to_notch is not None,
             note="Irish guidance of 1997 asks for the joist's depth; the larger is used"),
    ),
    "Withdrawn, still the rule of thumb on site; NHBC differs and both are held against a cut.",
)  # fmt: skip

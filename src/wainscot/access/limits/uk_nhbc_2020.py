"""United Kingdom: NHBC Standards 2020, 6.4.18, solid timber joists.

For joists up to 250 mm deep and simply supported; deeper ones, and joists near trimmers,
partitions or tanks, go to an engineer.
"""

from __future__ import annotations

from wainscot.access.cutting import Edition, Member, Rule, far_end, near_end
from wainscot.sources import Cited

_RULE = "NHBC Standards 2020 6.4.18"
_ASK = "measure the span and the distance from the bearing"
DEEPEST = Cited(0.250, "m", _RULE, "deeper than 250 mm: engineer", "read")


def _cited(value: float, where: str) -> Cited:
    return Cited(value, "m", _RULE, where, "read")


def _span(member: Member) -> float:
    return member.span or 0.0


_NOTCHES = (
    Rule("6.4.18 notch depth", "joist notch depth", "joist", "notch",
         lambda member, cut: cut.size,
         lambda member, cut: _cited(0.15 * member.depth, "notch 0.15 d"),
         applies=lambda member, cut: cut.face != "bottom",
         note="BS 5268-2 has 0.125 d; the smaller is used"),
    Rule("6.4.18 notch from", "joist notch, least distance from the bearing", "joist", "notch",
         near_end, lambda member, cut: _cited(0.1 * _span(member), "from 0.1 of the span"),
         sense="at least", measure=_ASK),
    Rule("6.4.18 notch to", "joist notch, greatest distance from the bearing", "joist", "notch",
         far_end, lambda member, cut: _cited(0.2 * _span(member), "to 0.2 of the span"),
         measure=_ASK),
    Rule("6.4.18 top edge", "notch in the underside of a joist", "joist", "notch",
         lambda member, cut: cut.size, lambda member, cut: _cited(0.0, "top edge only"),
         sense="never", applies=lambda member, cut: cut.face == "bottom"),
)  # fmt: skip

_HOLES = (
    Rule("6.4.18 hole", "joist hole diameter", "joist", "hole",
         lambda member, cut: cut.size,
         lambda member, cut: _cited(0.25 * member.depth, "hole 0.25 d")),
    Rule("6.4.18 hole on the centre line", "joist hole off the centre line", "joist", "hole",
         lambda member, cut: abs(0.0 if cut.edge is None else
                                 member.depth / 2 - cut.edge - cut.size / 2),
         lambda member, cut: Cited(0.001, "m", _RULE, "on the centre line; 1 mm is ours",
                                   "judgement")),
    Rule("6.4.18 hole from", "joist hole, least distance from the bearing", "joist", "hole",
         near_end, lambda member, cut: _cited(0.25 * _span(member), "from 0.25 of the span"),
         sense="at least", measure=_ASK),
    Rule("6.4.18 hole to", "joist hole, greatest distance from the bearing", "joist", "hole",
         near_end, lambda member, cut: _cited(0.4 * _span(member), "to 0.4 of the span"),
         measure=_ASK),
    Rule("6.4.18 hole to notch", "joist hole to a notch", "joist", "hole",
         lambda member, cut: cut.to_notch, lambda member, cut: _cited(0.100, "100 mm apart"),
         sense="at least", applies=lambda member, cut: cut.to_notch is not None),
)  # fmt: skip

_DEEP = tuple(
    Rule(f"6.4.18 depth, {kind}", "depth of a joist that may be cut without an engineer", "joist",
         kind, lambda member, cut: member.depth, lambda member, cut: DEEPEST)
    for kind in ("notch", "hole")
)  # fmt: skip

EDITION = Edition(
    "NHBC Standards 2020",
    ("UK",),
    (*_NOTCHES, *_HOLES, *_DEEP),
    "Near trimmers, partitions and tanks an engineer decides.",
)

"""United Kingdom: Approved Document A section 2C, chases in masonry (BS 5628 and BS 8103 alike).

Vertical at most a third, horizontal at most a sixth of the leaf, never back to back; hollow block
keeps 15 mm to its hollow.
"""

from __future__ import annotations

from wainscot.access.cutting import Cut, Edition, Member, Rule
from wainscot.sources import Cited

_RULE = "Approved Document A 2C"


def _cited(value: float, where: str) -> Cited:
    return Cited(value, "m", _RULE, where, "second-hand")


def _depth(member: Member, cut: Cut) -> Cited:
    if cut.run == "vertical":
        return _cited(member.depth / 3, "vertical chase 1/3 of the leaf")
    return _cited(member.depth / 6, "horizontal chase 1/6 of the leaf")


EDITION = Edition(
    "Approved Document A 2C",
    ("UK",),
    (
        Rule("2C chase depth", "chase depth", "leaf", "chase",
             lambda member, cut: cut.size, _depth,
             note="a page that prints 1/16 for horizontal chases has a slip: 1/6"),
        Rule("2C back to back", "chases back to back", "leaf", "chase",
             lambda member, cut: cut.size,
             lambda member, cut: _cited(0.0, "never back to back"),
             sense="never", applies=lambda member, cut: cut.back_to_back),
        Rule("2C hollow block", "material left before the hollow of a block", "leaf", "chase",
             lambda member, cut: (member.hollow or 0.0) - cut.size,
             lambda member, cut: _cited(0.015, "15 mm to the void"),
             sense="at least", applies=lambda member, cut: member.hollow is not None),
    ),
    "Stability of the wall as a whole is not looked at.",
)  # fmt: skip

"""I-joists, trusses, laminated veneer and glued laminated lumber: no cut, anywhere.

IRC R502.8.2 and R802.7.2 allow a cut, notch or bore only where the maker's published chart or a
design by an engineer says so; Canada never lets a truss be cut.  Asked in every country.
"""

from __future__ import annotations

from typing import Literal

from wainscot.access.cutting import Edition, Rule
from wainscot.sources import Cited

_RULE = "IRC 2018 R502.8.2 and R802.7.2; Ontario Building Code 9.23.5 for trusses"


def _refusal(cut: Literal["notch", "hole"]) -> Rule:
    return Rule(
        f"engineered member, {cut}", f"{cut} in an engineered member", "joist", cut,
        lambda member, cut: cut.size,
        lambda member, cut: Cited(
            0.0, "m", _RULE, "maker's chart or engineer's design only", "second-hand"
        ),
        sense="never",
        applies=lambda member, cut: member.engineered,
        note="only the maker's chart for this product or an engineer's design allows it",
    )  # fmt: skip


EDITION = Edition(
    "Engineered members",
    (),
    (_refusal("notch"), _refusal("hole")),
    "The maker's chart governs; it is not held here.",
)

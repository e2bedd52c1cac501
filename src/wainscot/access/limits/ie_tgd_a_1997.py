"""Ireland: Technical Guidance Document A 1997, distance between a hole and a notch in a joist.

Held against cuts in the United Kingdom too, because it is the more cautious of the values printed.
"""

from __future__ import annotations

from wainscot.access.cutting import Edition, Rule
from wainscot.sources import Cited

EDITION = Edition(
    "TGD A 1997",
    ("UK", "IE"),
    (
        Rule(
            "hole to notch", "joist hole to a notch", "joist", "hole",
            lambda member, cut: cut.to_notch,
            lambda member, cut: Cited(
                member.depth, "m", "Technical Guidance Document A 1997 (Ireland)",
                "not less than the joist's depth", "second-hand",
            ),
            sense="at least",
            applies=lambda member, cut: cut.to_notch is not None,
            note="NHBC and NBS have 100 mm; the larger is used",
        ),
    ),
    "Only this distance was read.",
)  # fmt: skip

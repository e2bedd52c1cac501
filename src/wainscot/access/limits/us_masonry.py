"""United States: chases in masonry as examination pages teach them, no code text read."""

from __future__ import annotations

from wainscot.access.cutting import Edition, Rule
from wainscot.sources import Cited

EDITION = Edition(
    "US masonry practice",
    ("US",),
    (
        Rule(
            "chase depth", "chase depth", "leaf", "chase",
            lambda member, cut: cut.size,
            lambda member, cut: Cited(
                member.depth / 3, "m", "examination pages on masonry", "1/3 of the wall",
                "second-hand",
            ),
        ),
    ),
    "From teaching pages; the masonry code itself was not read.",
)  # fmt: skip

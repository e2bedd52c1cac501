"""United States: Standard Work Specifications 3.1301.2 for single-family weatherization, subfloors.

A patch in the subfloor under 144 in2 need not reach the joists; a larger one spans from joist to
joist with blocking at its free edges.
"""

from __future__ import annotations

from wainscot.access.cutting import Edition, Rule
from wainscot.sources import Cited

INCH = 0.0254
SMALL_PATCH = Cited(
    144 * INCH**2, "m2", "Standard Work Specifications 3.1301.2", "under 144 in2", "read"
)

EDITION = Edition(
    "SWS 3.1301.2",
    ("US", "CA"),
    (
        Rule(
            "3.1301.2 patch", "subfloor patch on no joist", "subfloor", "patch",
            # "Under" 144 in2: at 144 the patch already has to be carried.
            lambda member, cut: cut.size + 1e-8, lambda member, cut: SMALL_PATCH,
            applies=lambda member, cut: not cut.backed,
            needs="cut it to span from joist to joist and put blocking under every free edge",
        ),
        Rule(
            "3.1301.2 carried patch", "subfloor patch on joists and blocking", "subfloor", "patch",
            lambda member, cut: 1.0,
            lambda member, cut: Cited(
                1.0, "1", "Standard Work Specifications 3.1301.2", "joist to joist", "read"
            ),
            sense="at least",
            applies=lambda member, cut: cut.backed,
        ),
    ),
    "A standard for publicly funded weatherization, not a building code.",
)  # fmt: skip

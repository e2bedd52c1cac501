"""Rooms leak through their floor boards into the joist bays below."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.site import Proposal, Rule, Site

THICKEST = 0.13
SHEETS_SINCE = 1965
"""Sheet subfloors became usual about then; before it, boards. Common practice, no source."""


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way from each room into each joist bay under it."""
    year = site.plan.year_built
    sheets = site.plan.country != "UK" if year is None else year >= SHEETS_SINCE
    for contact in site.pairs("room", "joist bay"):
        below = site.spaces[contact.b].bottom < site.spaces[contact.a].bottom
        if contact.axis == 2 and contact.gap <= THICKEST and below:
            variant = "panel" if sheets else "boards"
            yield site.propose(contact, "gap in floor", variant, "a gap in the floor boards")


RULE = Rule("gap in floor", "gaps between floor boards", propose)

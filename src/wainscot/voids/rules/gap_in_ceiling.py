"""Rooms leak through their ceilings."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.site import Proposal, Rule, Site

THICKEST = 0.13


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way from each room into what lies over its ceiling."""
    for contact in site.pairs("room", "joist bay"):
        above = site.spaces[contact.b].bottom > site.spaces[contact.a].bottom
        if contact.axis == 2 and contact.gap <= THICKEST and above:
            yield site.propose(contact, "gap in ceiling", "ceiling", "a hole in the ceiling")
    for contact in site.pairs("room", "loft"):
        if contact.axis == 2 and contact.gap <= THICKEST:
            yield site.propose(contact, "gap in ceiling", "loft", "the loft hatch")


RULE = Rule("gap in ceiling", "holes in ceilings and the loft hatch", propose)

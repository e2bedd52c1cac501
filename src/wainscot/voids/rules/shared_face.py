"""Every shared face is a way with a small chance: undrawn is not impossible."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.contacts import Contact
from wainscot.voids.rooms import wall_point
from wainscot.voids.site import Proposal, Rule, Site

THICKEST = 0.13
"""Solid between two spaces beyond which they share no face. [m]"""
NARROWEST = 0.05
"""Faces narrower than this are corners. [m]"""
MASONRY = {"cavity", "crawl"}


def propose(site: Site) -> Iterator[Proposal]:
    """Yield a floor chance for every pair of spaces with a thin solid between them."""
    for contact in site.contacts:
        if contact.gap > THICKEST or min(contact.spans) < NARROWEST:
            continue
        forms = {site.spaces[contact.a].form, site.spaces[contact.b].form}
        variant = "masonry" if forms & MASONRY else "timber"
        yield site.propose(contact, "shared face", variant, "somewhere through the face they share")
    for wall in site.plan.walls:
        # Two rooms with nothing hidden between them.
        if wall.facing and wall.build == "solid" and not wall.lined:
            a, b = sorted((site.index[wall.side.room], site.index[wall.facing]))
            floor = site.plan.storey(wall.storey)
            at = wall_point(wall, floor.elevation)
            contact = Contact(a, b, 0, wall.thickness, (wall.high - wall.low, floor.height), at)
            yield site.propose(contact, "shared face", "masonry", "somewhere through the wall")


RULE = Rule("shared face", "a gap that nobody drew", propose, drawn=False)

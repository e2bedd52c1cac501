"""Rooms leak into the walls beside them, mostly at the skirting."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.site import Proposal, Rule, Site
from wainscot.voids.space import Form

THICKEST = 0.13
HIGH = 0.3
"""A bay whose foot is this far above the floor has no skirting. [m]"""
BESIDE: tuple[Form, ...] = ("stud bay", "lining", "cavity")


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way from each room into each bay, lining or cavity beside it."""
    for form in BESIDE:
        for contact in site.pairs("room", form):
            if contact.axis == 2 or contact.gap > THICKEST:
                continue
            room, bay = site.spaces[contact.a], site.spaces[contact.b]
            if form == "cavity":
                variant, words = "masonry", "a hole through the inner leaf"
            elif bay.bottom > room.bottom + HIGH:
                variant, words = "high", "a hole in the wall board"
            else:
                variant, words = "floor", "the gap at the skirting"
            yield site.propose(contact, "gap at skirting", variant, words)


RULE = Rule("gap at skirting", "gaps at the skirting and holes in the board", propose)

"""Stud bays end at plates: shut in a platform frame, open in a balloon frame without fire blocks."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.contacts import Contact
from wainscot.voids.site import Proposal, Rule, Site
from wainscot.voids.space import Form

THICKEST = 0.2
ENDS: tuple[Form, ...] = ("joist bay", "crawl", "loft", "stud bay")


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way up or down out of each stud bay."""
    for form in ENDS:
        for contact in site.pairs("stud bay", form):
            if contact.axis == 2 and contact.gap <= THICKEST:
                yield _one(site, contact)


def _one(site: Site, contact: Contact) -> Proposal:
    bay, end = site.spaces[contact.a], site.spaces[contact.b]
    wall = bay.wall
    variant = "platform"
    if wall is not None and wall.framing == "balloon":
        variant = "blocked" if wall.blocked == "yes" else "balloon"
    elif wall is not None and wall.blocked == "yes":
        variant = "blocked"
    up = end.bottom > bay.bottom
    words = {
        "platform": f"a hole in the {'top' if up else 'sole'} plate",
        "balloon": "the open " + ("head" if up else "foot") + " of the bay",
        "blocked": "a leak past the fire block",
    }[variant]
    return site.propose(contact, "gap at plate", variant, words)


RULE = Rule("gap at plate", "holes through sole and top plates, or no plate at all", propose)

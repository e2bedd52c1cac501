"""Cables run from bay to bay through holes bored in studs."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.site import Proposal, Rule, Site

THICKEST = 0.13


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way from each stud bay to the next."""
    for contact in site.pairs("stud bay", "stud bay"):
        if contact.axis == 2 or contact.gap > THICKEST:
            continue
        same = site.spaces[contact.a].owner == site.spaces[contact.b].owner
        variant = "same wall" if same else "corner"
        yield site.propose(contact, "bored hole", variant, "a cable hole bored in the stud")


RULE = Rule("bored hole", "cable holes bored in studs", propose)

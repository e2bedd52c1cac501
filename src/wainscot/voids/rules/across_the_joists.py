"""From bay to bay across a joist only where somebody bored or notched it."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.site import Proposal, Rule, Site

THICKEST = 0.2


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way from each joist bay across a joist to the one beside it."""
    for contact in site.pairs("joist bay", "joist bay"):
        if contact.axis > 1 or contact.gap > THICKEST:
            continue
        one, other = site.spaces[contact.a], site.spaces[contact.b]
        if contact.runs_with(one.direction) or contact.runs_with(other.direction):
            continue
        variant = "joist" if one.owner == other.owner else "wall"
        words = "a hole bored through the joist"
        yield site.propose(contact, "across the joists", variant, words)


RULE = Rule("across the joists", "holes and notches in joists", propose)

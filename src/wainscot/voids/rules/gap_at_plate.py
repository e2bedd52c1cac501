"""Stud bays end at plates: shut in a platform frame, open in an unblocked balloon frame."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from wainscot.voids.contacts import Contact, turned
from wainscot.voids.site import Proposal, Rule, Site
from wainscot.voids.space import Form

THICKEST = 0.2
LEAST_SHARE = 0.15
"""A joist bay that takes less of a bay's end than this is left to the shared face. [1]"""
ENDS: tuple[Form, ...] = ("joist bay", "loft", "stud bay")


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way up and the way down out of each stud bay.

    A bay that stands over several joist bays has one hole somewhere: each gets its share.
    """
    ends: dict[tuple[int, bool], list[Contact]] = {}
    for form in ENDS:
        for contact in site.pairs("stud bay", form):
            if contact.axis == 2 and contact.gap <= THICKEST:
                up = site.spaces[contact.b].bottom > site.spaces[contact.a].bottom
                ends.setdefault((contact.a, up), []).append(contact)
                if form == "stud bay":
                    ends.setdefault((contact.b, not up), []).append(turned(contact))
    for group in ends.values():
        sizes = [one.spans[0] * one.spans[1] for one in group]
        whole = sum(sizes)
        for contact, size in zip(group, sizes, strict=True):
            if size >= LEAST_SHARE * whole:
                yield _shared(_one(site, contact), size / whole)


def _shared(one: Proposal, share: float) -> Proposal:
    return replace(one, presence=1.0 - (1.0 - one.presence) ** share)


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

"""Under a partition the floor runs through: a joist bay goes on into the bay of the next room.

Bays of two rooms rarely stand in line, so each goes on into the one bay that it overlaps most.
"""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.contacts import Contact
from wainscot.voids.site import Proposal, Rule, Site

AXES = ("x", "y")
PARTITION = 0.18
"""A wall between rooms thicker than this is taken as masonry. [m]"""


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way from the end of each joist bay into the next room's floor."""
    ends = [one for one in site.pairs("joist bay", "joist bay") if _at_an_end(site, one)]
    best: dict[tuple[int, int, int], Contact] = {}
    for contact in ends:
        for v, other in ((contact.a, contact.b), (contact.b, contact.a)):
            if site.spaces[v].axis != AXES[contact.axis]:
                continue
            # One goes on at each end, so the direction is part of the key.
            forward = site.spaces[other].centre[contact.axis] > site.spaces[v].centre[contact.axis]
            key = (v, contact.axis, int(forward))
            known = best.get(key)
            if known is None or _common(contact) > _common(known):
                best[key] = contact
    for contact in {(one.a, one.b): one for one in best.values()}.values():
        turned = site.spaces[contact.a].axis != site.spaces[contact.b].axis
        thick = contact.gap > PARTITION or _masonry_between(site, contact)
        variant = "turned" if turned else "masonry" if thick else "partition"
        words = "on between the joists" if not turned else "the end of the joists"
        yield site.propose(contact, "along the joists", variant, words)


def _at_an_end(site: Site, contact: Contact) -> bool:
    if contact.axis > 1:
        return False
    ends = (site.spaces[contact.a].axis, site.spaces[contact.b].axis)
    return AXES[contact.axis] in ends and contact.spans[0] >= 0.04


def _common(contact: Contact) -> float:
    return contact.spans[0] - contact.gap


def _masonry_between(site: Site, contact: Contact) -> bool:
    rooms = {site.spaces[contact.a].owner, site.spaces[contact.b].owner}
    return any(
        wall.build != "stud" and {wall.side.room, wall.facing} == rooms for wall in site.plan.walls
    )


RULE = Rule("along the joists", "the floor void runs on between the joists", propose)

"""Rooms join through doors and doorways; an animal may cross a kitchen."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.contacts import Contact
from wainscot.voids.site import Proposal, Rule, Site


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way through each door between two drawn rooms."""
    for wall in site.plan.walls:
        if not wall.facing:
            continue
        for one in wall.openings:
            if one.type == "window":
                continue
            ring = wall.side.ring(one.low, one.high, 0.0, wall.thickness)
            floor = site.plan.storey(wall.storey).elevation
            middle = (sum(x for x, _ in ring) / 4, sum(y for _, y in ring) / 4)
            at = (*middle, floor + one.sill)
            a, b = site.index[wall.side.room], site.index[wall.facing]
            contact = Contact(min(a, b), max(a, b), 0, wall.thickness, (0.0, 0.0), at)
            yield site.propose(contact, "doorway", one.type, f"the {one.type}")


RULE = Rule("doorway", "doors and doorways between rooms", propose)

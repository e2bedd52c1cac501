"""Under a partition the floor runs through: a joist bay goes on into the bay of the next room.

Bays of two rooms rarely stand in line, so each goes on into the one bay that it overlaps most.
Joists that lap over a girder or a bearing wall leave a gap beside each lap, unless it was blocked.
"""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from wainscot.plan.model import Wall
from wainscot.voids.contacts import PARALLEL, Contact
from wainscot.voids.site import Proposal, Rule, Site

PARTITION = 0.18
"""A wall between rooms thicker than this is taken as masonry. [m]"""
UNDER = 0.15
"""A bearing wall this near to where two bays meet is what they bear on. [m]"""


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way from the end of each joist bay into the next room's floor."""
    ends = [one for one in site.pairs("joist bay", "joist bay") if _at_an_end(site, one)]
    best: dict[tuple[int, bool], Contact] = {}
    for contact in ends:
        for v, other in ((contact.a, contact.b), (contact.b, contact.a)):
            way = site.spaces[v].direction
            if not contact.runs_with(way):
                continue
            # One goes on at each end, so the direction is part of the key.
            here, there = site.spaces[v].centre, site.spaces[other].centre
            key = (v, (there[0] - here[0]) * way[0] + (there[1] - here[1]) * way[1] > 0)
            known = best.get(key)
            if known is None or _common(contact) > _common(known):
                best[key] = contact
    for contact in {(one.a, one.b): one for one in best.values()}.values():
        variant, words = _variant(site, contact)
        yield site.propose(contact, "along the joists", variant, words)


def _variant(site: Site, contact: Contact) -> tuple[str, str]:
    one, other = site.spaces[contact.a], site.spaces[contact.b]
    (x, y), (u, v) = one.direction, other.direction
    if abs(x * u + y * v) < PARALLEL:
        return "turned", "the end of the joists"
    if one.owner == other.owner:
        return "lap", "the lap of the joists"
    if contact.gap > PARTITION or _masonry_between(site, contact):
        return "masonry", "on between the joists"
    bearing = _bearing_below(site, contact)
    if bearing is not None:
        variant = "lap blocked" if bearing.blocked == "yes" else "lap"
        return variant, "the lap of the joists over the wall"
    return "partition", "on between the joists"


def _bearing_below(site: Site, contact: Contact) -> Wall | None:
    """Return the wall known to bear the ends of two bays, if one stands under them."""
    storey = site.plan.storey(site.spaces[contact.a].storey)
    for wall in site.bearing.get(storey.level - 1, ()):
        if shapely.distance(shapely.Polygon(wall.ring), shapely.Point(contact.at[:2])) < UNDER:
            return wall
    return None


def _at_an_end(site: Site, contact: Contact) -> bool:
    if contact.axis > 1:
        return False
    ends = (site.spaces[contact.a].direction, site.spaces[contact.b].direction)
    return any(contact.runs_with(way) for way in ends) and contact.spans[0] >= 0.04


def _common(contact: Contact) -> float:
    return contact.spans[0] - contact.gap


def _masonry_between(site: Site, contact: Contact) -> bool:
    return frozenset((site.spaces[contact.a].owner, site.spaces[contact.b].owner)) in site.masonry


RULE = Rule("along the joists", "the floor void runs on between the joists", propose)

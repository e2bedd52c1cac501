"""An air brick that was drawn as a way in leads through both leaves of a cavity wall.

Where it is not sleeved it opens into the cavity and into the space under the floor at once.
"""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from msgspec.structs import replace

from wainscot.plan.model import Entry, Wall
from wainscot.voids.points import point_of
from wainscot.voids.site import Proposal, Rule, Site

NEAR = 0.1
"""A way in this near to a wall in plan goes through it. [m]"""


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the way on from the cavity into the space under the floor."""
    for entry in site.plan.entries:
        point = point_of(site.plan, entry.place)
        if point is None:
            continue
        for wall in site.plan.walls:
            floor = site.plan.storey(wall.storey)
            low = point[2] < floor.elevation - floor.floor.board
            if wall.build != "cavity" or not low or not _passes(wall, point):
                continue
            for contact in site.touching.get(site.index.get(f"{wall.id}/cavity", -1), []):
                if site.spaces[contact.b].form == "crawl":
                    way = site.propose(contact, "air brick", "through", "the air brick")
                    yield _through(way, entry)


def _passes(wall: Wall, point: tuple[float, float, float]) -> bool:
    return bool(shapely.Polygon(wall.ring).distance(shapely.Point(point[:2])) <= NEAR)


def _through(one: Proposal, entry: Entry) -> Proposal:
    """Return the proposal with the hole's own size where it was given."""
    if entry.size is None:
        return one
    return replace(one, low=entry.size, high=entry.size)


RULE = Rule("air brick", "air bricks through both leaves of a cavity wall", propose)

"""One cavity runs round a masonry house, from the ground to the roof, and floors leak into it."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.contacts import Contact
from wainscot.voids.site import Proposal, Rule, Site
from wainscot.voids.space import Space

AXES = ("x", "y")
BARRIERS_SINCE = 1985
"""Cavity tops were closed by barriers from about then. Common practice, no source."""


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the ways round, up, into floors, into the roof and into the ground."""
    yield from _round(site)
    for contact in site.pairs("cavity", "joist bay"):
        joists = site.spaces[contact.b]
        ends_here = contact.axis < 2 and joists.axis == AXES[contact.axis]
        if ends_here and contact.gap <= 0.2:
            words = "a joist pocket in the wall"
            yield site.propose(contact, "joist pockets", "end", words)
    year = site.plan.year_built
    closed = year is not None and year >= BARRIERS_SINCE
    for contact in _tops(site):
        variant = "new" if closed else "old"
        yield site.propose(contact, "cavity top", variant, "the top of the wall cavity")
    for contact in site.pairs("cavity", "crawl"):
        if contact.axis < 2 and contact.gap <= 0.2:
            words = "the foot of the wall cavity"
            yield site.propose(contact, "foot of the cavity", "wall", words)


def _round(site: Site) -> Iterator[Proposal]:
    cavities = [v for v, space in enumerate(site.spaces) if space.form == "cavity"]
    for n, one in enumerate(cavities):
        for other in cavities[n + 1 :]:
            a, b = site.spaces[one], site.spaces[other]
            level = min(a.top, b.top) - max(a.bottom, b.bottom)
            if level > 0.1 and _meet(_longer(a), _longer(b)):
                at = _between(a, b)
                contact = Contact(one, other, 0, 0.0, (0.05, level), at)
                words = "on round the wall cavity"
                yield site.propose(contact, "round the cavity", "corner", words)
            elif abs(level) <= 0.05 and _meet(a.rectangles[0], b.rectangles[0]):
                contact = Contact(one, other, 2, 0.0, (0.05, 0.05), _between(a, b))
                yield site.propose(contact, "round the cavity", "up", "up the wall cavity")


def _tops(site: Site) -> Iterator[Contact]:
    """Yield the contacts of cavity tops with a loft that lies just inside them."""
    lofts = [v for v, space in enumerate(site.spaces) if space.form == "loft"]
    for v, space in enumerate(site.spaces):
        if space.form != "cavity":
            continue
        for loft in lofts:
            roof = site.spaces[loft]
            if abs(roof.bottom - space.top) > 0.1:
                continue
            wide = [_grown(part, 0.35) for part in roof.rectangles]
            if any(_meet(part, space.rectangles[0]) for part in wide):
                at = (space.centre[0], space.centre[1], space.top)
                yield Contact(v, loft, 2, 0.0, (0.05, 0.05), at)


def _longer(space: Space) -> tuple[float, float, float, float]:
    """Return the cavity lengthened by its wall's thickness, so that corners meet."""
    thickness = space.wall.thickness if space.wall else 0.3
    west, south, east, north = space.rectangles[0]
    if space.axis == "x":
        return (west - thickness, south, east + thickness, north)
    return (west, south - thickness, east, north + thickness)


def _grown(part: tuple[float, float, float, float], by: float) -> tuple[float, float, float, float]:
    return (part[0] - by, part[1] - by, part[2] + by, part[3] + by)


def _meet(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    across = min(one[2], other[2]) - max(one[0], other[0])
    along = min(one[3], other[3]) - max(one[1], other[1])
    return across > 0.005 and along > 0.005


def _between(a: Space, b: Space) -> tuple[float, float, float]:
    """Return the point of the smaller's box nearest to the other's middle."""
    one, other = a.rectangles[0], b.rectangles[0]
    x = min(max((other[0] + other[2]) / 2, one[0]), one[2])
    y = min(max((other[1] + other[3]) / 2, one[1]), one[3])
    z = (max(a.bottom, b.bottom) + min(a.top, b.top)) / 2
    return (x, y, z)


RULE = Rule("wall cavity", "the cavity of a masonry wall", propose)

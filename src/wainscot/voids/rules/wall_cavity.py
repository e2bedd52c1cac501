"""One cavity runs round a masonry house, from the ground to the roof, and floors leak into it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely

from wainscot.plan.frame import ring
from wainscot.voids.contacts import Contact
from wainscot.voids.site import Proposal, Rule, Site
from wainscot.voids.space import Space

BESIDE = 0.35
"""How far within the cavity's line the loft may begin. [m]"""
LEAST = 2.5e-5
"""Least overlap that counts as meeting. [m2]"""
BARRIERS_SINCE = 1985
"""Cavity tops were closed by barriers from about then. Common practice, no source."""


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the ways round, up, into floors, into the roof and into the ground."""
    yield from _round(site)
    for contact in site.pairs("cavity", "joist bay"):
        joists = site.spaces[contact.b]
        ends_here = contact.axis < 2 and contact.runs_with(joists.direction)
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
    """Yield the ways from cavity to cavity, round corners and up."""
    cavities = [v for v, space in enumerate(site.spaces) if space.form == "cavity"]
    longer = np.array([_longer(site.spaces[v]) for v in cavities], dtype=object)
    for n, m in _meeting(longer, longer):
        if n >= m:
            continue
        a, b = site.spaces[cavities[n]], site.spaces[cavities[m]]
        level = min(a.top, b.top) - max(a.bottom, b.bottom)
        if level > 0.1:
            contact = Contact(cavities[n], cavities[m], 0, 0.0, (0.05, level), _between(a, b))
            words = "on round the wall cavity"
            yield site.propose(contact, "round the cavity", "corner", words)
        elif abs(level) <= 0.05 and a.plot.polygon.intersection(b.plot.polygon).area > LEAST:
            contact = Contact(cavities[n], cavities[m], 2, 0.0, (0.05, 0.05), _between(a, b))
            yield site.propose(contact, "round the cavity", "up", "up the wall cavity")


def _tops(site: Site) -> Iterator[Contact]:
    """Yield the contacts of cavity tops with a loft that lies just inside them."""
    lofts = [v for v, space in enumerate(site.spaces) if space.form == "loft"]
    cavities = [v for v, space in enumerate(site.spaces) if space.form == "cavity"]
    wide = [site.spaces[v].plot.polygon.buffer(BESIDE, join_style="mitre") for v in lofts]
    shapes = np.array([site.spaces[v].plot.polygon for v in cavities], dtype=object)
    for n, m in _meeting(shapes, np.array(wide, dtype=object)):
        space, roof = site.spaces[cavities[n]], site.spaces[lofts[m]]
        if abs(roof.bottom - space.top) <= 0.1:
            at = (space.centre[0], space.centre[1], space.top)
            yield Contact(cavities[n], lofts[m], 2, 0.0, (0.05, 0.05), at)


def _meeting(some: Any, others: Any) -> list[tuple[int, int]]:
    """Return the pairs of shapes that overlap by more than a touch, in order."""
    if not len(some) or not len(others):
        return []
    one, other = shapely.STRtree(others).query(some)
    keep = shapely.area(shapely.intersection(some[one], others[other])) > LEAST
    return sorted(zip(one[keep].tolist(), other[keep].tolist(), strict=True))


def _longer(space: Space) -> Any:
    """Return the cavity lengthened by its wall's thickness, so that corners meet."""
    thickness = space.wall.thickness if space.wall else 0.3
    west, south, east, north = space.plot.bounds
    if space.axis == "x":
        longer = (west - thickness, south, east + thickness, north)
    else:
        longer = (west, south - thickness, east, north + thickness)
    return shapely.Polygon(ring(longer, space.plot.turn))


def _between(a: Space, b: Space) -> tuple[float, float, float]:
    """Return the point of one nearest to the other's middle."""
    middle = shapely.Point(b.plot.centre)
    near = shapely.shortest_line(a.plot.polygon, middle).coords[0]
    z = (max(a.bottom, b.bottom) + min(a.top, b.top)) / 2
    return (near[0], near[1], z)


RULE = Rule("wall cavity", "the cavity of a masonry wall", propose)

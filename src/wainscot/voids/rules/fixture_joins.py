"""The ways that fixture types state for their own voids; no type is named here."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from wainscot.plan.frame import ring, to_frame
from wainscot.plan.kind import Box, Join, kinds
from wainscot.plan.model import FixtureAt
from wainscot.voids.contacts import Contact, rooms_above
from wainscot.voids.site import Proposal, Rule, Site

NEAR = 0.13
"""A wall, floor or fixture within this distance lies against the void. [m]"""
WALLS = {"stud bay", "lining", "cavity"}
FLOORS = {"joist bay", "crawl"}
OVER = {"joist bay", "loft"}


def propose(site: Site) -> Iterator[Proposal]:
    """Yield every join of every fixture with each space it may lead to."""
    for fixture in site.plan.fixtures:
        for join in kinds()[fixture.type].joins(fixture):
            yield from _one(site, fixture, join)


def _one(site: Site, fixture: FixtureAt, join: Join) -> Iterator[Proposal]:
    room = site.index[fixture.room]
    start = room if join.role == "room" else site.index.get(f"{fixture.id}/{join.role}")
    if start is None:
        return
    ends = _ends(site, fixture, join, start, room)
    for end, at, share in ends:
        yield Proposal(
            start, end, join.rule, join.words, join.low.value, join.high.value,
            # One hole is somewhere along the run of bays that it may open into.
            1.0 - (1.0 - min(join.presence.value, 0.999)) ** share,
            join.run.value, join.gnawable, at,
        )  # fmt: skip


def _ends(
    site: Site, fixture: FixtureAt, join: Join, start: int, room: int
) -> list[tuple[int, tuple[float, float, float], float]]:
    """Return (space, point, share) of what a join leads to; shares sum to one."""
    here = site.spaces[start].centre
    if join.to == "room":
        return [(room, here, 1.0)]
    if join.to == "room above":
        over = rooms_above(site.spaces, room, shapely.Polygon(fixture.ring))
        return [(v, here, 1.0 / len(over)) for v in over]
    other = site.index.get(f"{fixture.id}/{join.to}")
    if other is not None:
        return [(other, here, 1.0)]
    found = [
        (one, _common(site, one, fixture, join.window))
        for one in site.touching.get(start, [])
        if _fits(site, fixture, join.to, one)
    ]
    found = [(one, size) for one, size in found if size > 0]
    total = sum(size for _, size in found)
    return [(one.b, one.at, size / total) for one, size in found]


def _fits(site: Site, fixture: FixtureAt, to: str, one: Contact) -> bool:
    start, end = site.spaces[one.a], site.spaces[one.b]
    if one.gap > NEAR:
        return False
    if to == "beside":
        return end.form == "fixture" and end.owner != start.owner
    if to == "floor":
        return one.axis == 2 and end.form in FLOORS and end.bottom < start.bottom
    if to == "ceiling":
        return one.axis == 2 and end.form in OVER and end.bottom > start.bottom
    if end.form not in WALLS or one.axis > 1:
        return False
    return _side_of(fixture, one, site) == to


def _side_of(fixture: FixtureAt, one: Contact, site: Site) -> str:
    """Return on which side of the fixture a contact lies, seen from inside the room."""
    side = fixture.side
    start, end = (
        to_frame((x, y), side.turn)
        for x, y, _ in (site.spaces[one.a].centre, site.spaces[one.b].centre)
    )
    along = 0 if side.axis == "x" else 1
    if one.runs_with(side.direction):
        outward = end[1 - along] - start[1 - along]
        return "behind" if outward * side.outward > 0 else "front"
    rightward = (end[along] - start[along]) * side.rightward > 0
    return "right" if rightward != fixture.flip else "left"


def _common(site: Site, one: Contact, fixture: FixtureAt, window: Box | None) -> float:
    """Return how much of the contact lies within the join's window."""
    if window is None or one.axis != 2:
        return max(one.spans[0] * one.spans[1], 1e-9)
    place = fixture.place(window.u_low, window.u_high, window.v_low, window.v_high)
    shape = shapely.Polygon(ring(place, fixture.side.turn))
    for v in (one.a, one.b):
        shape = shape.intersection(site.spaces[v].plot.polygon)
    return float(shape.area)


RULE = Rule("fixture joins", "the ways that fixtures make", propose)

"""The point that a place names, where it names one: for ways in and whatever is drawn as a mark.

Limits: a room, a wall without ``along`` and a fixture are taken at their middle; a storey has no
point.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely

from wainscot.job import Place
from wainscot.plan.model import Plan, Room, Side
from wainscot.quantity import length
from wainscot.voids.piercing import Point

KNEE = 0.3
"""Height at which a wall is looked at unless said otherwise. [m]"""


def point_of(plan: Plan, place: Place, depth: int = 0) -> Point | None:
    """Return the point of a place, or None where it has none. [m]

    Parameters
    ----------
    plan : Plan
        The plan.
    place : Place
        Where.
    depth : int
        How many places have pointed here already.
    """
    height = None if place.height is None else length(place.height)
    if place.at is not None:
        storey = next((one for one in plan.storeys if one.id == place.storey), None)
        if storey is None:
            return None
        usual = storey.height if place.part == "ceiling" else 0.0
        z = storey.elevation + (usual if height is None else height)
        return (length(place.at[0]), length(place.at[1]), z)
    for room in plan.rooms:
        side = side_of(plan, room, place.of)
        if side is not None:
            base = plan.storey(room.storey).elevation
            return _on_side(plan, side, place, base + (KNEE if height is None else height))
        if room.id == place.of:
            middle = shapely.Polygon(room.polygon).centroid
            return (middle.x, middle.y, plan.storey(room.storey).elevation + (height or 0.0))
    return _of_thing(plan, place, height, depth)


def side_of(plan: Plan, room: Room, of: str) -> Side | None:
    """Return the side of a room that a word names: its id, an opening in it, a wall drawn there.

    Parameters
    ----------
    plan : Plan
        The plan.
    room : Room
        The room.
    of : str
        ``kitchen/n1``, or the id of a door, window or wall.
    """
    key = plan.side_key(of)
    owner, _, name = key.partition("/")
    return room.side(name) if owner == room.id and name else None


def along_path(path: Sequence[Point], along: float) -> Point:
    """Return the point at a distance from the start of a run. [m]

    Parameters
    ----------
    path : sequence of (float, float, float)
        Corners of the run. [m]
    along : float
        Distance from its start; past the end counts as the end. [m]
    """
    left = along
    for start, stop in pairwise(path):
        size = float(np.linalg.norm(np.subtract(stop, start)))
        if size > 0 and left <= size:
            x, y, z = (a + (b - a) * left / size for a, b in zip(start, stop, strict=True))
            return (x, y, z)
        left -= size
    return path[-1]


def _on_side(plan: Plan, side: Side, place: Place, z: float) -> Point:
    along = side.length / 2
    for wall in plan.walls:
        for one in wall.openings:
            if one.id == place.of:
                middle = wall.side.coordinate(0.0)
                along = abs((one.low + one.high) / 2 - middle)
                x, y = wall.side.point(along)
                return (x, y, z)
    if place.along is not None:
        along = length(place.along)
    x, y = side.point(along)
    return (x, y, z)


def _of_thing(plan: Plan, place: Place, height: float | None, depth: int) -> Point | None:
    """Return the point of a fixture, a service, or whatever an entry point or kept item names."""
    for fixture in plan.fixtures:
        if fixture.id == place.of:
            u = fixture.width / 2 if place.along is None else length(place.along)
            x, y = fixture.point(u, fixture.depth / 2)
            base = plan.storey(fixture.storey).elevation
            return (x, y, base + (fixture.height / 2 if height is None else height))
    for service in plan.services:
        if service.id == place.of:
            if place.along is not None:
                return along_path(service.path, length(place.along))
            if service.open_end:
                return service.path[-1] if service.open_end == "end" else service.path[0]
            whole = sum(float(np.linalg.norm(np.subtract(b, a))) for a, b in pairwise(service.path))
            return along_path(service.path, whole / 2)
    pointed = {one.id: one.place for one in plan.entries}
    pointed |= {one.id: one.place for one in plan.kept}
    if place.of in pointed and depth < 3:
        return point_of(plan, pointed[place.of], depth + 1)
    return None

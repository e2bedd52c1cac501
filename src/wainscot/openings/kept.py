"""Which openings touch what the owner wants kept.

A kept fixture is touched by taking it or its front off, not by a cut from below; a kept wall, floor
or room by any cut in it; a kept stretch or point by a cut that meets it.

Limits: a place without a stretch counts as the whole wall or room.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from wainscot.access import Access, CutAt
from wainscot.access.tape import AROUND
from wainscot.job import Place
from wainscot.plan.model import Plan, Side
from wainscot.quantity import length
from wainscot.voids.graph import Graph


def touching(ways: Sequence[Access], plan: Plan, graph: Graph) -> dict[int, tuple[str, ...]]:
    """Return the names of the kept things that each opening touches, by its index.

    Parameters
    ----------
    ways : sequence of Access
        The openings.
    plan : Plan
        What was drawn; ``plan.kept`` are the kept things.
    graph : Graph
        Its voids.
    """
    found: dict[int, list[str]] = {}
    for item in plan.kept:
        for o, one in enumerate(ways):
            if _touches(one, item.place, plan, graph):
                found.setdefault(o, []).append(item.name)
    return {o: tuple(names) for o, names in found.items()}


def _touches(one: Access, place: Place, plan: Plan, graph: Graph) -> bool:
    if place.at is not None:
        return any(_near_point(cut, place, plan) for cut in one.cuts)
    if any(place.of == fixture.id for fixture in plan.fixtures):
        owned = any(graph.owners[reach.void] == place.of for reach in one.reaches)
        inside = one.id.endswith(f"|{place.of}")
        return (owned and not _from_below(one)) or inside
    if any(place.of == room.id for room in plan.rooms):
        return any(cut.room == place.of and place.part in ("", cut.part) for cut in one.cuts)
    side = _side(plan, place.of)
    return side is not None and any(_on_side(cut, side, place, plan) for cut in one.cuts)


def _from_below(one: Access) -> bool:
    return bool(one.cuts) and all(cut.part == "floor" for cut in one.cuts)


def _side(plan: Plan, of: str) -> Side | None:
    key = plan.side_key(of)
    room, _, name = key.partition("/")
    return next((one.side(name) for one in plan.rooms if one.id == room and name), None)


def _on_side(cut: CutAt, side: Side, place: Place, plan: Plan) -> bool:
    """Return True where a cut lies in the face that this side sees, within its stretch."""
    if cut.part != "wall" or cut.room != side.room:
        return False
    owned = {
        wall.id for wall in plan.walls if side.id in (wall.id, f"{wall.facing}/{wall.facing_side}")
    }
    if cut.side not in owned:
        return False
    if place.along is None:
        return True
    start = length(place.along)
    stop = start + (length(place.extent) if place.extent is not None else 0.0)
    kept = sorted((side.coordinate(start), side.coordinate(stop)))
    ends = sorted(side.on_axis(point) for point in cut.outline)
    return ends[0] < kept[1] + AROUND and ends[1] > kept[0] - AROUND


def _near_point(cut: CutAt, place: Place, plan: Plan) -> bool:
    storey = next((one for one in plan.storeys if one.id == place.storey), None)
    if storey is None or place.at is None:
        return False
    low, high = storey.elevation - AROUND, storey.elevation + storey.height + AROUND
    if cut.top < low or cut.bottom > high:
        return False
    outline = shapely.LineString(cut.outline)
    shape = shapely.Polygon(cut.outline) if len(cut.outline) > 2 else outline
    point = shapely.Point(length(place.at[0]), length(place.at[1]))
    return bool(shapely.distance(shape, point) <= AROUND)

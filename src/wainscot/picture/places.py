"""Where a place lies on the flat plan, for marks and wedges."""

from __future__ import annotations

from wainscot.job import Place
from wainscot.picture.sheet import Point
from wainscot.plan.model import Plan
from wainscot.quantity import length
from wainscot.voids.graph import Graph


def point_of(plan: Plan, place: Place) -> Point | None:
    """Return the point that a place names, or None where it names a thing only. [m]

    Parameters
    ----------
    plan : Plan
        For sides of rooms and open ends of runs.
    place : Place
        Where.
    """
    if place.at is not None:
        return (length(place.at[0]), length(place.at[1]))
    run = next((each for each in plan.services if each.id == place.of and each.open_end), None)
    if run is not None:
        end = run.path[0] if run.open_end == "start" else run.path[-1]
        return (end[0], end[1])
    if place.along is None:
        return None
    key = plan.side_key(place.of)
    side = next((each for room in plan.rooms for each in room.sides if each.id == key), None)
    if side is None:
        return None
    return side.point(length(place.along))


def starts_of(plan: Plan, graph: Graph) -> dict[str, Point]:
    """Return where each drawn way in lies, by its id: by its place, else where the graph has it.

    Parameters
    ----------
    plan : Plan
        For the places as drawn.
    graph : Graph
        For the ways in. [m]
    """
    places = {each.id: point_of(plan, each.place) for each in plan.entries}
    return {
        key: places.get(key) or (float(graph.source_at[e, 0]), float(graph.source_at[e, 1]))
        for e, key in enumerate(graph.source_keys)
        if graph.source_sort[e] == "entry point"
    }

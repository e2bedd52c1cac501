"""Where a place lies: from "1.2 m along the kitchen's north wall" to voids.

A place never names a void, so redrawing loses nothing: it is looked up again in every graph.  What
no longer lies in anything gives an empty answer, and :func:`why_lost` says why.

Conventions: ``along`` starts at the left end, seen from inside the room; ``extent`` goes on to the
right from there (from a point: half to each side).  ``height`` counts from the storey's finished
floor.  Without a height a wall is taken at knee height, a point in a room as the room itself, or
the fixture that stands there.
"""

from __future__ import annotations

from collections import deque

from wainscot.job import Place
from wainscot.plan.model import Plan
from wainscot.voids.finder import STRAY, Finder, Indices
from wainscot.voids.graph import Graph
from wainscot.voids.sources import drain_points

_KEPT = 2
_finders: deque[Finder] = deque(maxlen=_KEPT)
"""The last ones made: a log of a hundred looks is looked up in one graph after another."""


def _finder(graph: Graph, plan: Plan) -> Finder:
    """Return what looks places up in a graph; made once for many places in a row."""
    for one in tuple(_finders):
        if one.graph is graph and one.plan is plan:
            return one
    made = Finder(graph, plan)
    _finders.append(made)
    return made


def locate(graph: Graph, plan: Plan, place: Place) -> Indices:
    """Return the voids that a place lies in, nearest first; empty if it lies in nothing.

    Parameters
    ----------
    graph : Graph
        Graph of the plan.
    plan : Plan
        The plan itself.
    place : Place
        Where; with a radius, the zone around it.
    """
    if place.radius is not None:
        return locate_zone(graph, plan, place)
    return _finder(graph, plan).find(place)


def locate_zone(graph: Graph, plan: Plan, place: Place, radius: float = 1.5) -> Indices:
    """Return the hidden voids within a radius of a place, nearest first.

    Parameters
    ----------
    graph : Graph
        Graph of the plan.
    plan : Plan
        The plan itself.
    place : Place
        The middle of the zone; its own radius, if it has one, counts.
    radius : float
        Radius where the place has none. [m]
    """
    return _finder(graph, plan).zone(place, radius)


def why_lost(graph: Graph, plan: Plan, place: Place) -> str:
    """Return in words why a place lies in nothing; empty if it lies in something.

    Parameters
    ----------
    graph : Graph
        Graph of the plan.
    plan : Plan
        The plan itself.
    place : Place
        Where.
    """
    if locate(graph, plan, place):
        return ""
    of = place.of.partition("/")[0]
    if of and of not in {room.id for room in plan.rooms} and place.at is None:
        drawn = {one.id for one in plan.fixtures} | {one.id for one in plan.services}
        drawn |= {one.id for one in plan.entries} | {one.id for one in plan.storeys}
        if of not in drawn | set(plan.openings) | set(plan.drawn_walls):
            return f"{of} is not drawn yet"
    if not of and place.at is None:
        return "no place was given"
    if place.at is not None and not of:
        return "this mark lies outside what is drawn, or in solid wall or floor"
    return "this mark now lies in solid wall or floor"


def entry_voids(graph: Graph, plan: Plan) -> dict[str, int]:
    """Return the void that each entry point, open or dead drain end and chamber opens into.

    Without one it is -1.

    Parameters
    ----------
    graph : Graph
        Graph of the plan.
    plan : Plan
        The plan itself.
    """
    finder = _finder(graph, plan)
    found = {}
    for entry in plan.entries:
        voids = finder.find(entry.place, stray=STRAY)
        found[entry.id] = voids[0] if voids else -1
    for service in plan.services:
        for key, point, _, _ in drain_points(service):
            voids = finder.near(point, STRAY)
            found[key] = voids[0] if voids else -1
    return found

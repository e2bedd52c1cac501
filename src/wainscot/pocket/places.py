"""Where places lie, for a phone: named ones looked up beforehand, outlines for all others."""

from __future__ import annotations

import numpy as np

from wainscot import voids as voids_step
from wainscot.job import Place, typed
from wainscot.plan.model import Plan
from wainscot.pocket.shapes import Shape, Spot, Storey, packed
from wainscot.signs.place import source_of, voids_above
from wainscot.voids.finder import CEILING_KINDS, FLOOR_KINDS, WALL_KINDS, Finder
from wainscot.voids.framed import Framed
from wainscot.voids.graph import Graph


def storeys_of(plan: Plan) -> dict[str, Storey]:
    """Return the heights of every storey by its id.

    Parameters
    ----------
    plan : Plan
        The plan.
    """
    return {one.id: Storey(one.elevation, one.height) for one in plan.storeys}


def shape_of(framed: Framed, graph: Graph) -> Shape:
    """Return the voids of one framing guess and the places in them that have names.

    Parameters
    ----------
    framed : Framed
        The job and its plan under the guess.
    graph : Graph
        Its graph; the animal does not matter.
    """
    finder = Finder(graph, framed.plan)
    parts = [
        (kind in WALL_KINDS)
        + 2 * (kind in FLOOR_KINDS)
        + 4 * (kind in CEILING_KINDS or key in finder.ceilings)
        + 8 * (key in finder.ceilings)
        for kind, key in zip(graph.kinds, graph.keys, strict=True)
    ]
    return Shape(
        guess=framed.guess,
        keys=graph.keys,
        hidden=packed(graph.hidden, "u1"),
        parts=packed(parts, "u1"),
        bottom=packed(graph.bottom, "<f8"),
        top=packed(graph.top, "<f8"),
        corners=packed(np.cumsum([0, *(len(one) for one in graph.polygon)]), "<i4"),
        outline=packed(np.concatenate([np.zeros((0, 2)), *graph.polygon]), "<f8"),
        spots=_spots(framed, graph),
    )


def _spots(framed: Framed, graph: Graph) -> dict[str, Spot]:
    """Places that a phone names by an entity, and the open room itself."""
    plan = framed.plan
    named = [one.id for one in plan.entries]
    named += [one.id for one in plan.fixtures]
    named += [one.id for one in plan.services]
    found = {key: _spot(Place(of=key), framed, graph) for key in named}
    for room in plan.rooms:
        found[room.id] = _spot(Place(of=room.id), framed, graph)
        found[f"{room.id}/room"] = _spot(Place(of=room.id, part="room"), framed, graph)
    return found


def _spot(place: Place, framed: Framed, graph: Graph) -> Spot:
    entities = typed(framed.job)
    voids = voids_step.locate(graph, framed.plan, place)
    zone = voids_step.locate_zone(graph, framed.plan, place)
    return Spot(
        voids=tuple(int(v) for v in voids),
        zone=tuple(int(v) for v in zone),
        above=voids_above(place, voids, graph),
        zone_above=voids_above(place, zone, graph),
        source=source_of(place, entities, graph, drains=False),
        drain=source_of(place, entities, graph, drains=True),
    )

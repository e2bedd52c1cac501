"""Where each inspection was made, in terms of one graph.

``Placed`` holds, for one inspection, the voids that were looked at, the one void that a find lies
in (if that is known), the zone around it, or the way in that it speaks of.

Where a look covers several voids, a find goes to the nearest one if the place is a spot (a point,
or a distance along a wall, without an extent) and counts as lying in one of them, nobody knows
which, if not.

Limits: a look at an entry point speaks of that way in only, not of the void behind it; a sound
heard there speaks of the zone around it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import msgspec
import numpy as np

from wainscot.job import EntryPoint, Inspection, Place
from wainscot.signs.kind import KINDS
from wainscot.signs.rates import Rates
from wainscot.voids.graph import Graph

Locate = Callable[[Place], tuple[int, ...]]
"""Gives the voids at a place, the nearest first."""


class Placed(msgspec.Struct, frozen=True):
    """One inspection and where it was, in one graph."""

    key: str
    inspection: Inspection
    voids: tuple[int, ...] = ()
    nearest: int = -1
    """The void that finds lie in; -1 where it may be any of ``voids``."""
    zone: tuple[int, ...] = ()
    source: int = -1
    where: str = ""
    """In words."""

    @property
    def somewhere(self) -> bool:
        """False where it could not be placed at all."""
        return bool(self.voids or self.zone) or self.source >= 0


def needs_zone(inspection: Inspection, rates: Rates) -> bool:
    """Return True where some sign of this inspection belongs to a zone."""
    method = rates.methods.get(inspection.method)
    names = {find.kind for find in inspection.finds}
    if inspection.finished and method is not None:
        names |= set(method.shows)
    return any(name in KINDS and KINDS[name].form == "zone" for name in names)


def _source_of(place: Place, entities: Mapping[str, object], graph: Graph) -> int:
    if not isinstance(entities.get(place.of), EntryPoint):
        return -1
    for index, (key, sort) in enumerate(zip(graph.source_keys, graph.source_sort, strict=True)):
        if sort == "entry point" and key == place.of:
            return index
    return -1


def _nearest(place: Place, voids: tuple[int, ...]) -> int:
    """The void that a find lies in: the nearest to an exact spot, else only a single one."""
    if not voids:
        return -1
    spot = (place.along is not None or place.at is not None) and place.extent is None
    return voids[0] if len(voids) == 1 or (spot and place.radius is None) else -1


def _where(place: Place, voids: tuple[int, ...], nearest: int, graph: Graph) -> str:
    if nearest >= 0:
        return graph.words[nearest]
    if not voids:
        return "somewhere here"
    if len(voids) == 1:
        return graph.words[voids[0]]
    near = "around" if place.radius is not None else "at one of"
    return f"{near} {len(voids)} places near {graph.words[voids[0]]}"


def put(
    key: str,
    inspection: Inspection,
    entities: Mapping[str, object],
    graph: Graph,
    locate: Locate,
    locate_zone: Locate,
    rates: Rates,
) -> Placed:
    """Return one inspection with its place in the graph.

    Parameters
    ----------
    key : str
        Id of the inspection.
    inspection : Inspection
        The inspection.
    entities : mapping
        The job's entities in checked form.
    graph : Graph
        The voids.
    locate, locate_zone : callable
        Voids at a place, and voids of a zone around it.
    rates : Rates
        The tables.
    """
    place = inspection.place
    if place is None:
        return Placed(key, inspection)
    source = _source_of(place, entities, graph)
    zone = tuple(locate_zone(place)) if needs_zone(inspection, rates) else ()
    if source >= 0:
        return Placed(key, inspection, zone=zone, source=source, where=graph.source_words[source])
    voids = tuple(locate(place))
    nearest = _nearest(place, voids)
    where = _where(place, voids or zone, nearest, graph)
    return Placed(key, inspection, voids, nearest, zone, where=where)


def reaches_of(zone: tuple[int, ...], graph: Graph, heard: np.ndarray) -> np.ndarray:
    """Return the hit chances of each member, [n, 3], from those of hidden voids and rooms. [1]"""
    return np.asarray(heard[[0 if graph.hidden[v] else 1 for v in zone]], dtype=np.float64)

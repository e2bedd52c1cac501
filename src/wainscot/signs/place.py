"""Where each inspection was made, in terms of one graph.

``Placed`` holds, for one inspection, the voids that were looked at, the one void that a find lies
in (if that is known), the zone around it, or the way in that it speaks of.

Where a look covers several voids, a find goes to the nearest one if the place is a spot (a point,
or a distance along a wall, without an extent) and counts as lying in one of them, nobody knows
which, if not.

A test of a drain may name the drain; it speaks of the way in at its end.  A stain that fell from
above belongs to the voids above its place.

Limits: a look at an entry point speaks of that way in only, not of the void behind it; a sound
heard there speaks of the zone around it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import msgspec
import numpy as np
import shapely

from wainscot.job import EntryPoint, Inspection, Place, Service
from wainscot.quantity import length
from wainscot.signs.kind import KINDS
from wainscot.signs.rates import Rates
from wainscot.voids.graph import Graph

STRAY = 0.25
"""A stain may be this far beside what it fell from. [m]"""
LEVEL = 0.1
HIGH = 3.0
"""Voids that begin up to this much higher may have let it fall. [m]"""

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
    above: tuple[int, ...] = ()
    """Voids that something may have fallen from."""

    @property
    def somewhere(self) -> bool:
        """False where it could not be placed at all."""
        return bool(self.voids or self.zone) or self.source >= 0

    def zone_for(self, zone_of: str) -> tuple[int, ...]:
        """Return the voids of one sort of zone: around, above, here."""
        if zone_of == "above":
            return self.above
        here = self.voids if zone_of == "here" else ()
        return tuple(sorted({*self.zone, *here}))


def _zones_of(inspection: Inspection, rates: Rates) -> set[str]:
    """Which zones some sign of this inspection belongs to: around, above, here."""
    method = rates.methods.get(inspection.method)
    kinds = [KINDS[find.kind] for find in inspection.finds if find.kind in KINDS]
    if inspection.finished and method is not None:
        kinds += [KINDS[name] for name in method.shows if not KINDS[name].silent]
    return {kind.zone_of for kind in kinds if kind.form == "zone"}


def _only_ways_in(inspection: Inspection, rates: Rates) -> bool:
    """True where what was looked for speaks of ways in and of nothing else."""
    method = rates.methods.get(inspection.method)
    names = {find.kind for find in inspection.finds} | set(method.shows if method else ())
    kinds = [KINDS[name] for name in names if name in KINDS]
    return bool(kinds) and all(kind.at_entry and not kind.shown for kind in kinds)


def source_of(place: Place, entities: Mapping[str, object], graph: Graph, drains: bool) -> int:
    """Return the way in that a place names, -1 for none.

    Parameters
    ----------
    place : Place
        The place.
    entities : mapping
        The job's entities in checked form.
    graph : Graph
        The voids.
    drains : bool
        Whether it was a test of a drain: a service then names the way in at its end too.
    """
    wanted = []
    if isinstance(entities.get(place.of), EntryPoint):
        wanted = [place.of]
    elif drains and isinstance(entities.get(place.of), Service):
        ends = (
            key for key, one in entities.items()
            if isinstance(one, EntryPoint) and one.place.of == place.of
        )  # fmt: skip
        wanted = [place.of, *ends]
    for index, (key, sort) in enumerate(zip(graph.source_keys, graph.source_sort, strict=True)):
        if sort == "entry point" and key in wanted:
            return index
    return -1


def voids_above(place: Place, voids: tuple[int, ...], graph: Graph) -> tuple[int, ...]:
    """Return the hidden voids that something at a place may have fallen from, the lowest first.

    Those whose outline covers the place (within a quarter of a metre; all of it where it is no
    point) and that begin above it, up to a storey higher.

    Parameters
    ----------
    place : Place
        Where the mark is.
    voids : tuple of int
        The voids at that place.
    graph : Graph
        The voids.
    """
    if not voids:
        return ()
    if place.at is not None:
        spot = shapely.Point(length(place.at[0]), length(place.at[1])).buffer(STRAY)
    else:
        spot = shapely.unary_union([shapely.Polygon(graph.polygon[v]) for v in voids])
    # A mark on a ceiling is placed in the bay over it or in the room under it.
    low = min(float(graph.bottom[v] if graph.hidden[v] else graph.top[v]) - LEVEL for v in voids)
    found = [
        v
        for v in np.flatnonzero(graph.hidden & (graph.bottom >= low) & (graph.bottom <= low + HIGH))
        if shapely.Polygon(graph.polygon[v]).intersection(spot).area > 1e-4
    ]
    return tuple(int(v) for v in sorted(found, key=lambda v: (graph.bottom[v], v)))


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
    drains = _only_ways_in(inspection, rates)
    source = source_of(place, entities, graph, drains)
    zones = _zones_of(inspection, rates)
    zone = tuple(locate_zone(place)) if zones - {"above"} else ()
    if source >= 0:
        return Placed(key, inspection, zone=zone, source=source, where=graph.source_words[source])
    if drains:
        return Placed(key, inspection, where="no drain that is drawn as a way in")
    voids = tuple(locate(place))
    above = voids_above(place, voids, graph) if "above" in zones else ()
    nearest = _nearest(place, voids)
    where = _where(place, voids or zone, nearest, graph)
    return Placed(key, inspection, voids, nearest, zone, where=where, above=above)


def reaches_of(zone: tuple[int, ...], graph: Graph, heard: np.ndarray) -> np.ndarray:
    """Return the hit chances of each member, [n, 3], from those of hidden voids and rooms. [1]"""
    return np.asarray(heard[[0 if graph.hidden[v] else 1 for v in zone]], dtype=np.float64)

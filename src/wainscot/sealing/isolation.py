"""Part a nest from a place that cannot wait, without shutting anybody in.

    found = isolation(graph, ways, nests, places); found.seals, found.way_out

The cheapest passages between the two are closed by the same cut as the seal list; then a walk from
the nest says whether its own way out is still open.

Limits: passages inside only.  Who goes out by one hole and comes in by another is not parted: the
other ways in are closed next, in the order of the list.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from wainscot.arrays import Bools, Floats, Ints
from wainscot.diagnosis.answer import VoidAnswer
from wainscot.sealing.cut import cheapest_cut, reached
from wainscot.sealing.listing import seals_of
from wainscot.sealing.model import Isolation, Way
from wainscot.sources import judged
from wainscot.voids.graph import Graph

NEST = judged(1 / 3, "1", "chance of a nest from which a void is parted as if it held one")


def likely_nests(voids: Iterable[VoidAnswer]) -> tuple[str, ...]:
    """Return the ids of the hidden voids that may well hold a nest.

    Parameters
    ----------
    voids : iterable of VoidAnswer
        What the diagnosis thinks of them.
    """
    return tuple(one.id for one in voids if one.hidden and one.nest >= NEST.value)


def isolation(graph: Graph, ways: Sequence[Way], nests: Bools, places: Bools) -> Isolation:
    """Return the seals that part nests from places for the time being.

    Parameters
    ----------
    graph : Graph
        The voids, for one species.
    ways : sequence of Way
        Every edge that may have to be closed.
    nests : Bools
        [V] voids with a nest.
    places : Bools
        [V] voids that it may not stay near.
    """
    told = (_words(graph, nests), _words(graph, places))
    if not nests.any():
        why = "nobody knows where the nest is: name its void, or look"
        return Isolation(*told, (), 0.0, False, True, why)
    if (nests & places).any():
        why = "the nest lies in the place itself: nothing parts them, take it out first"
        return Isolation(*told, (), 0.0, False, True, why)
    inner = [one for one in ways if one.sort == "passage" and "as built" in one.grades]
    # Outside takes no part, so its number serves as the one node that all nests hang on.
    hub = len(graph.keys)
    edges, cost = _from(hub, nests, inner)
    found = cheapest_cut(edges, cost, hub, np.append(places, False))
    if found is None:
        why = "a way that nothing closes joins the nest and the place"
        return Isolation(*told, (), 0.0, False, True, why)
    chosen = [one for one, cut in zip(inner, found.cut, strict=False) if cut]
    seals = seals_of(chosen, graph)
    out = _gets_out(graph, ways, nests, {one.key for one in chosen})
    return Isolation(
        *told, seals, sum(one.hours for one in seals), True, out, _statement(len(seals), out)
    )


def _statement(count: int, way_out: bool) -> str:
    if not count:
        return "no drawn passage joins the nest and the place: nothing to part"
    if way_out:
        does = "1 seal parts" if count == 1 else f"{count} seals part"
        return f"{does} them; the animals' own way out stays open"
    return (
        f"{count} seal{'' if count == 1 else 's'} would part them AND SHUT THE ANIMALS IN: not "
        "before traps stand there, or make them a way out first"
    )


def _from(hub: int, nests: Bools, ways: Sequence[Way]) -> tuple[Ints, Floats]:
    """Return edges and costs with a node that hangs on every nest."""
    held = [(hub, int(v)) for v in np.flatnonzero(nests)]
    edges = np.array([*(one.ends for one in ways), *held], dtype=np.int32).reshape(-1, 2)
    cost = np.array([*(one.hours for one in ways), *(np.inf for _ in held)], dtype=np.float64)
    return edges, cost


def _gets_out(graph: Graph, ways: Sequence[Way], nests: Bools, closed: set[str]) -> bool:
    left = [one for one in ways if "as built" in one.grades and one.key not in closed]
    outside, hub = len(graph.keys), len(graph.keys) + 1
    edges, cost = _from(hub, nests, left)
    is_open = np.ones(len(cost), dtype=np.bool_)
    return bool(reached(edges, is_open, hub, hub + 1)[outside])


def _words(graph: Graph, which: Bools) -> tuple[str, ...]:
    return tuple(graph.words[v] for v in np.flatnonzero(which))

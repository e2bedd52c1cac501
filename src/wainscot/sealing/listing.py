"""The seal list: the cheapest edges that leave no drawn path from outside to what is protected.

    lists = [seal_list(graph, ways_in(plan, graph), grade, given_up) for grade in BOTH]

Source: outside, and every edge that may be a way in.  Sinks: every void except those given up by
name, because sealing along the room faces would leave animals in the walls.

Limits: an opening that several seals need is counted for each of them, so a list in which seals
share one may cost less than told.  "No path" is said of what was drawn and inspected only.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from wainscot.arrays import Bools, Floats, Ints
from wainscot.errors import Fault, InputError
from wainscot.sealing.cut import cheapest_cut, reached
from wainscot.sealing.materials import amounts, for_way
from wainscot.sealing.model import Grade, Remaining, Seal, SealList, SecondLayer, Spot, Way
from wainscot.voids.graph import Graph

NAMED = 3
"""So many voids are named where a way stays open."""
CLOSED = "no path is left of what was drawn and inspected"


def voids_named(graph: Graph, names: Iterable[str], what: str = "given up") -> Bools:
    """Return the voids that names mean: an id, a label, a room's name, a kind (``crawl space``).

    Parameters
    ----------
    graph : Graph
        The voids.
    names : iterable of str
        As typed.
    what : str
        What they are named for, for the message.

    Returns
    -------
    Bools
        [V]

    Raises
    ------
    InputError
        If a name means none.
    """
    found = np.zeros(len(graph.keys), dtype=np.bool_)
    faults = []
    for name in names:
        found |= _meant(graph, name)
        if fault := no_void(graph, what, name):
            faults.append(fault)
    if faults:
        raise InputError(faults)
    return found


def _meant(graph: Graph, name: str) -> Bools:
    plain = name.strip().lower()
    told = zip(graph.keys, graph.labels, graph.kinds, graph.words, strict=True)
    return np.array([plain in {each.lower() for each in void} for void in told], dtype=np.bool_)


def no_void(graph: Graph, path: str, name: str) -> Fault | None:
    """Return the fault of a name that means no void; None where it means one.

    Parameters
    ----------
    graph : Graph
        The voids.
    path : str
        Where the name stands, or what it is named for.
    name : str
        As typed.
    """
    if _meant(graph, name).any():
        return None
    kinds = ", ".join(sorted({*graph.kinds} - {"room"}))
    cure = f"name a void by its id or label, or one of these kinds: {kinds}"
    return Fault("unknown-void", path, f"no void is called {name!r}", cure)


def seal_list(graph: Graph, ways: Sequence[Way], grade: Grade, given_up: Bools) -> SealList:
    """Return the cheapest list for one species and grade.

    Parameters
    ----------
    graph : Graph
        The voids, for one species.
    ways : sequence of Way
        Every edge that may have to be closed (:func:`wainscot.sealing.ways.ways_in`).
    grade : {"as built", "if they gnaw"}
        What counts as open.
    given_up : Bools
        [V] voids that are left to the animals.
    """
    problem = _Problem(graph, ways, grade, given_up)
    chosen = problem.first_cut()
    seals = seals_of([problem.ways[n] for n in np.flatnonzero(chosen)], graph)
    remaining = problem.remaining(chosen)
    return SealList(
        graph.species, grade, seals, sum(one.hours for one in seals), remaining,
        _statement(remaining, seals),
    )  # fmt: skip


def second_layer(
    graph: Graph, ways: Sequence[Way], grade: Grade, given_up: Bools, places: Bools
) -> SecondLayer:
    """Return a second list round chosen places that shares no edge with the first.

    Parameters
    ----------
    graph : Graph
        The voids, for one species.
    ways : sequence of Way
        Every edge that may have to be closed.
    grade : {"as built", "if they gnaw"}
        What counts as open.
    given_up : Bools
        [V] voids that are left to the animals.
    places : Bools
        [V] voids that a second layer is wanted round.
    """
    problem = _Problem(graph, ways, grade, given_up)
    chosen = problem.first_cut()
    words = tuple(graph.words[v] for v in np.flatnonzero(places))
    cost = np.where(chosen, np.inf, problem.cost)
    found = cheapest_cut(problem.edges, cost, problem.outside, np.append(places, False))
    if found is None:
        lone = problem.without_second(chosen, places)
        why = f"no second layer is possible here: {lone}"
        return SecondLayer(words, (), 0.0, why, False)
    seals = seals_of([problem.ways[n] for n in np.flatnonzero(found.cut)], graph)
    hours = sum(one.hours for one in seals)
    told = f"if a seal of the first list fails, {len(seals)} more keep them out of these places"
    return SecondLayer(words, seals, hours, told, True)


class _Problem:
    """The edges that are open under one grade, as arrays."""

    def __init__(self, graph: Graph, ways: Sequence[Way], grade: Grade, given_up: Bools) -> None:
        self.graph = graph
        self.outside = len(graph.keys)
        self.ways = tuple(one for one in ways if grade in one.grades)
        self.edges: Ints = np.array([one.ends for one in self.ways], dtype=np.int32).reshape(-1, 2)
        self.cost: Floats = np.array([one.hours for one in self.ways], dtype=np.float64)
        self.given_up = given_up
        self.inside = np.append(~given_up, False)

    def first_cut(self) -> Bools:
        """Return the edges to close: [ways].

        Ways that nothing can close and that lead inside for good are left out of the question;
        what else is open is closed all the same.
        """
        chosen = np.zeros(len(self.ways), dtype=np.bool_)
        if not self.inside.any() or not len(self.ways):
            return chosen
        keep = np.flatnonzero(~self._lost())
        found = cheapest_cut(self.edges[keep], self.cost[keep], self.outside, self.inside)
        assert found is not None, "every way that cannot be closed was left out"
        chosen[keep] = found.cut
        return chosen

    def _lost(self) -> Bools:
        """Return the ways into protected voids that stay open whatever is closed."""
        never = ~np.isfinite(self.cost)
        start = reached(self.edges, never & ~self._touches_inside(), self.outside, self.outside + 1)
        one, other = self.edges[:, 0], self.edges[:, 1]
        enters = (start[one] & self.inside[other]) | (start[other] & self.inside[one])
        lost: Bools = never & enters
        return lost

    def _touches_inside(self) -> Bools:
        one, other = self.edges[:, 0], self.edges[:, 1]
        touches: Bools = self.inside[one] | self.inside[other]
        return touches

    def remaining(self, chosen: Bools) -> tuple[Remaining, ...]:
        """Return by reason the edges by which protected voids are first entered after the list."""
        open_now = ~chosen
        # A walk outside and in given-up voids: what it touches inside is entered there.
        free = open_now & ~self._touches_inside()
        start = reached(self.edges, free, self.outside, self.outside + 1)
        found: dict[tuple[str, str], dict[int, Way]] = {}
        for n in np.flatnonzero(open_now & self._touches_inside()):
            a, b = (int(end) for end in self.edges[n])
            for one, other in ((a, b), (b, a)):
                if start[one] and not self.inside[one] and self.inside[other]:
                    way = self.ways[n]
                    words = way.words if way.sort != "edge to go along" else f"edge: {way.pool}"
                    found.setdefault((words, way.why_not or "left open"), {})[other] = way
        return tuple(self._left(*key, into) for key, into in sorted(found.items()))

    def _left(self, words: str, why: str, into: dict[int, Way]) -> Remaining:
        voids = sorted(into)
        named = tuple(self.graph.words[v] for v in voids[:NAMED])
        spots = tuple(Spot(self.graph.keys[v], into[v].at) for v in voids)
        return Remaining(words, why, named, len(voids), spots)

    def without_second(self, chosen: Bools, places: Bools) -> str:
        """Return in words the way that no second layer closes."""
        lone = chosen | ~np.isfinite(self.cost)
        start = reached(self.edges, lone, self.outside, self.outside + 1)
        inner = np.flatnonzero(np.append(places, False) & start)
        for n in np.flatnonzero(lone):
            if set(self.edges[n].tolist()) & set(inner.tolist()):
                way = self.ways[n]
                return f"{way.words} opens straight into it"
        return "a way that cannot be closed leads there"


def seals_of(ways: Sequence[Way], graph: Graph) -> tuple[Seal, ...]:
    """Return a line for each edge to close; edges to go along are one line a side.

    Parameters
    ----------
    ways : sequence of Way
        What is closed.
    graph : Graph
        The voids that they join.
    """
    found: dict[str, list[Way]] = {}
    for way in sorted(ways, key=lambda one: (_SORTS.index(one.sort), one.pool, one.key)):
        key = f"edge/{way.pool}" if way.sort == "edge to go along" else way.key
        found.setdefault(key, []).append(way)
    return tuple(_seal(key, members, graph) for key, members in found.items())


ALONG = "go along the edge and close what is open: "
_SORTS = ("entry point", "edge to go along", "passage")
"""In which order a list tells them: what was found, where to look, what lies inside."""


def _seal(key: str, ways: list[Way], graph: Graph) -> Seal:
    first = ways[0]
    material, note = for_way(first)
    along = first.sort == "edge to go along"
    words = f"{ALONG}{first.pool}" if along else first.words
    takes = amounts(first, material)
    return Seal(
        key, words, first.sort, len(ways), sum(one.hours for one in ways), first.reach, material,
        note, tuple(Spot(_inner(one, graph), one.at) for one in ways), *takes,
    )  # fmt: skip


def _inner(way: Way, graph: Graph) -> str:
    """Return the id of the void that a way leads into: the far end of one from outside."""
    return graph.keys[next(end for end in way.ends[::-1] if end < len(graph.keys))]


def _statement(remaining: Sequence[Remaining], seals: Sequence[Seal]) -> str:
    if not remaining:
        return CLOSED if seals else f"{CLOSED}; nothing has to be closed"
    reasons = sorted({one.why for one in remaining})
    count = len(remaining)
    ways = "1 way stays" if count == 1 else f"{count} ways stay"
    return f"{ways} open after this list: {', '.join(reasons)}"

"""Why a void stands where it stands, in a few words."""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

from wainscot.arrays import Ints
from wainscot.diagnosis.answer import EntryAnswer
from wainscot.diagnosis.problem import passage_prior
from wainscot.signs.evidence import Evidence
from wainscot.voids.graph import Graph

_USED = 0.33
_WORTH_SAYING = 0.10


class Reasons:
    """Words for the voids of one answer.

    Parameters
    ----------
    graph : Graph
        The answer's graph.
    evidence : Evidence
        What the signs say in it.
    entries : tuple of EntryAnswer
        What we think of the ways in.
    """

    def __init__(self, graph: Graph, evidence: Evidence, entries: tuple[EntryAnswer, ...]) -> None:
        self.graph = graph
        self.looked = np.zeros(len(graph.keys)) if evidence.looked is None else evidence.looked
        self.found: dict[int, dict[str, list[str]]] = {}
        self.near: dict[int, list[str]] = {}
        self.seen: dict[int, tuple[str, str, str]] = {}
        for one in evidence.statements:
            there = one.found_in() if one.positive else []
            where = "found" if len(there) == 1 else "found here or close by"
            for v in there:
                self.found.setdefault(v, {}).setdefault(where, []).append(_trace(one.what))
            if one.zone >= 0 and one.positive and not there:
                span = slice(*evidence.zone_offsets[one.zone : one.zone + 2].tolist())
                for v in evidence.zone_void[span].tolist():
                    self.near.setdefault(v, []).append(f"{_kind(one.what)} near")
            for v, what in one.seen:
                self.seen[v] = max(self.seen.get(v, ("", "", "")), (one.at, one.key, what))
        self.steps, self.entry = _steps(graph, entries)

    def seen_at(self, v: int) -> str:
        """Return what was seen where a void was looked at in full; empty where it was not."""
        return self.seen.get(v, ("", "", ""))[2]

    def of(self, v: int, soiled: float) -> str:
        """Return the reason for one void.

        Parameters
        ----------
        v : int
            Index of the void.
        soiled : float
            Its chance. [1]
        """
        parts = []
        if v in self.seen:
            parts.append(f"seen: {self.seen_at(v)}")
        elif v in self.found:
            parts += [f"{where}: {', '.join(dict.fromkeys(traces))}"
                      for where, traces in sorted(self.found[v].items())]  # fmt: skip
        elif self.looked[v] > 0.0:
            parts.append("looked, nothing found" if self.looked[v] > 0.9 else "part looked at")
        if v in self.near and v not in self.seen:
            parts += dict.fromkeys(self.near[v])
        if soiled >= _WORTH_SAYING and v not in self.seen and self.entry and self.steps[v] >= 0:
            steps = int(self.steps[v])
            parts.append(f"{_far(steps)} {self.entry}")
        return "; ".join(parts) or "nobody looked"


def _trace(what: str) -> str:
    """A find as kind and amount: ``droppings (many)``."""
    kind, *more = what.split(", ")
    return f"{kind} ({more[0]})" if more else kind


def _kind(what: str) -> str:
    """A find's kind alone: ``stain from above``."""
    return what.split(", ")[0]


def _far(steps: int) -> str:
    if steps == 0:
        return "at"
    return "next to" if steps == 1 else f"{steps} steps from"


def _steps(graph: Graph, entries: tuple[EntryAnswer, ...]) -> tuple[Ints, str]:
    """Steps of every void from the likeliest drawn way in, and its words."""
    drawn = [one for one in entries if one.sort == "entry point" and one.used >= _USED]
    count = len(graph.keys)
    if not drawn or count == 0:
        return np.full(count, -1, dtype=np.int32), ""
    start = graph.index()[drawn[0].void]
    price = -np.log(passage_prior(graph)) + 1e-9
    matrix = csr_matrix((price, (graph.edges[:, 0], graph.edges[:, 1])), shape=(count, count))
    _, before = dijkstra(matrix, directed=False, indices=start, return_predecessors=True)
    steps = np.full(count, -1, dtype=np.int32)
    steps[start] = 0
    for v in range(count):
        way = [v]
        while steps[way[-1]] < 0 and before[way[-1]] >= 0:
            way.append(int(before[way[-1]]))
        known = int(steps[way[-1]])
        if known >= 0:
            for back, w in enumerate(reversed(way)):
                steps[w] = known + back
    return steps, drawn[0].words

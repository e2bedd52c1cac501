"""A few hundred equally weighted draws out of all, with their passages as graphs.

Runs and unexplained signs need the connected parts of each draw; a few hundred draws tell them well
enough (a share of one half is then known to about 0.02).

Source: systematic resampling, Carpenter, Clifford & Fearnhead 1999 (from memory).
"""

from __future__ import annotations

import msgspec
import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import connected_components, dijkstra

from wainscot.arrays import Bools, Bytes, Floats, Ints
from wainscot.diagnosis.posterior import Sample, weights

THINNED = 512
_NEVER_FREE = 1e-9


class Thin(msgspec.Struct, frozen=True):
    """The draws of one case that were picked: T draws."""

    sample: Sample
    source: Bytes
    """[T, kernel sources]"""
    reach: Bytes
    """[T, V]"""
    load: Bytes
    """[T]"""
    on: Bools
    """[T, P] passages open and run."""


def thin(samples: tuple[Sample, ...], count: int = THINNED) -> tuple[Thin, ...]:
    """Return equally weighted draws, shared among the cases by weight.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws.
    count : int
        How many draws to pick in all.
    """
    sizes = [len(one.load) for sample in samples for one in sample.populations]
    chunk = np.concatenate(weights(samples))
    ends = np.cumsum(np.repeat(chunk / sizes, sizes))
    picked = np.searchsorted(ends, (np.arange(count) + 0.5) / count * ends[-1])
    starts = np.cumsum([0, *sizes])
    found: list[Thin] = []
    at = 0
    for sample in samples:
        parts: list[tuple[Bytes, Bytes, Bytes, Bools]] = []
        passages = len(sample.problem.passage_prior)
        for one in sample.populations:
            mine = picked[(picked >= starts[at]) & (picked < starts[at + 1])] - starts[at]
            bits = np.unpackbits(one.run[mine], axis=1, bitorder="little")[:, :passages]
            parts.append((one.source[mine], one.reach[mine], one.load[mine], bits.astype(np.bool_)))
            at += 1
        source, reach, load, on = (np.concatenate(column) for column in zip(*parts, strict=True))
        if len(load):
            found.append(Thin(sample, source, reach, load, on))
    return tuple(found)


def components(draws: Thin) -> Ints:
    """Return the connected part that each void belongs to, per draw: [T, V].

    Parameters
    ----------
    draws : Thin
        The draws.
    """
    count, voids = draws.reach.shape
    t, p = np.nonzero(draws.on)
    ends = draws.sample.problem.passage_ends[p]
    nodes = (t * voids)[:, None] + ends
    size = count * voids
    matrix = csr_matrix((np.ones(len(t)), (nodes[:, 0], nodes[:, 1])), shape=(size, size))
    _, labels = connected_components(matrix, directed=False)
    return np.asarray(labels.reshape(count, voids), dtype=np.int32)


def likeliest_ways(draws: Thin) -> tuple[Ints, Ints]:
    """Return the likeliest way to every void in every draw.

    Returns
    -------
    tuple of Ints
        ``before`` [T, V]: the void before this one on the way in, the void itself where the way in
        opens into it, -1 where it is not reached.  ``source`` [T, V]: for such first voids the
        kernel source, else -1.
    """
    problem = draws.sample.problem
    count, voids = draws.reach.shape
    nodes = voids + 1
    t, p = np.nonzero(draws.on)
    ends = problem.passage_ends[p]
    cost = -np.log(problem.passage_prior[p])
    first, entry_cost = _entries(draws)
    reached, start = np.nonzero(first >= 0)
    rows = np.concatenate([t * nodes + ends[:, 0], reached * nodes + voids])
    columns = np.concatenate([t * nodes + ends[:, 1], reached * nodes + start])
    values = np.concatenate([cost, entry_cost[reached, start]]) + _NEVER_FREE
    size = count * nodes
    matrix = csr_matrix((values, (rows, columns)), shape=(size, size))
    roots = np.arange(count) * nodes + voids
    _, before, _ = dijkstra(
        matrix, directed=False, indices=roots, return_predecessors=True, min_only=True
    )
    table = before.reshape(count, nodes)[:, :voids]
    reachable = table >= 0
    inside = np.where(reachable, table % nodes, -1)
    opens = inside == voids
    way = np.where(opens, np.arange(voids)[None, :], inside)
    return way.astype(np.int32), np.where(opens, first, -1).astype(np.int32)


def _entries(draws: Thin) -> tuple[Ints, Floats]:
    """The likeliest active source at each void, [T, V] (-1: none), and its cost."""
    problem = draws.sample.problem
    prior = problem.source_prior
    active = prior[:, 1:].sum(axis=1) / np.maximum(prior.sum(axis=1), 1e-300)
    price = -np.log(np.clip(active, 1e-12, 1.0))
    count, voids = draws.reach.shape
    first = np.full((count, voids), -1, dtype=np.int32)
    cost = np.full((count, voids), np.inf)
    for e in np.argsort(-price, kind="stable"):  # the likeliest source comes last and stays
        v = int(problem.source_void[e])
        on = draws.source[:, e] > 0
        first[on, v] = e
        cost[on, v] = price[e]
    return first, cost

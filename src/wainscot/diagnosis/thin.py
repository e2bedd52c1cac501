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


def _numbered(inside: Bools) -> Ints:
    """Number what is inside, draw by draw: [T, n], -1 elsewhere.

    In a large house few voids are reached; the others would only take time and room.
    """
    number = np.full(inside.shape, -1, dtype=np.int32)
    number[inside] = np.arange(np.count_nonzero(inside), dtype=np.int32)
    return number


def _run_between_reached(draws: Thin) -> tuple[Ints, Ints]:
    """Draw and passage of every passage that is run between reached voids.

    Of a passage that is run both ends are reached, or neither is.
    """
    first = draws.sample.problem.passage_ends[:, 0]
    t, p = np.nonzero(draws.on)
    feeds = draws.reach[t, first[p]] > 0
    return t[feeds].astype(np.int32), p[feeds].astype(np.int32)


def components(draws: Thin) -> Ints:
    """Return the connected part that each void belongs to, per draw: [T, V]; -1 if not reached.

    Parameters
    ----------
    draws : Thin
        The draws.
    """
    number = _numbered(draws.reach > 0)
    if not (number >= 0).any():
        return number
    t, p = _run_between_reached(draws)
    one, other = (number[t, draws.sample.problem.passage_ends[p, k]] for k in (0, 1))
    size = int(np.count_nonzero(draws.reach))
    matrix = csr_matrix((np.ones(len(t), np.int8), (one, other)), shape=(size, size))
    _, labels = connected_components(matrix, directed=False)
    return np.asarray(np.where(number >= 0, labels[number], -1), dtype=np.int32)


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
    # The reached voids of each draw, and after them the outside of that draw.
    outside = np.ones((count, 1), dtype=np.bool_)
    inside = np.concatenate([draws.reach > 0, outside], axis=1)
    number, place = _numbered(inside), np.flatnonzero(inside)
    t, p = _run_between_reached(draws)
    ends = problem.passage_ends[p]
    first, entry_cost = _entries(draws)
    reached, start = np.nonzero(first >= 0)
    rows = np.concatenate([number[t, ends[:, 0]], number[reached, voids]])
    columns = np.concatenate([number[t, ends[:, 1]], number[reached, start]])
    cost = np.concatenate([-np.log(problem.passage_prior[p]), entry_cost[reached, start]])
    matrix = csr_matrix((cost + _NEVER_FREE, (rows, columns)), shape=(len(place),) * 2)
    _, before, _ = dijkstra(
        matrix, directed=False, indices=number[:, voids], return_predecessors=True, min_only=True
    )
    table = np.full(inside.shape, -1, dtype=np.int64)
    table[inside] = np.where(before >= 0, place[np.maximum(before, 0)] % (voids + 1), -1)
    table = table[:, :voids]
    opens = table == voids
    way = np.where(opens, np.arange(voids)[None, :], table)
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

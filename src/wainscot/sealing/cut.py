"""The cheapest set of edges without which no path leads from the source to any sink.

    found = cheapest_cut(edges, hours, source=0, sinks=inside)
    found.cut                     # mask of the edges to close, None where no cut can be had

Max flow equals the cheapest cut (Ford & Fulkerson 1956, from memory); the flow is Dinic's, from
scipy.  Of several cuts that cost the same the one nearest to the source is taken, so that a seal
lies as far out as it can.

Limits: costs are rounded to whole steps, at most 2^29 of them in all, because the flow counts in
32 bits; two cuts whose cost differs by less than a step an edge are not told apart.
"""

from __future__ import annotations

import msgspec
import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import breadth_first_order, maximum_flow

from wainscot.arrays import Bools, Floats, Ints

_STEPS = 2**29
_FINEST = 1e-3
"""Costs are not told apart more finely than this. [1]"""
_NEVER = 2**30
"""Capacity of an edge that cannot be closed."""


class Cut(msgspec.Struct, frozen=True):
    """A cheapest cut of a graph of P edges."""

    cut: Bools
    """[P] edges to close."""
    cost: float
    """Sum of their costs, in the unit of the costs. [1]"""


def cheapest_cut(edges: Ints, cost: Floats, source: int, sinks: Bools) -> Cut | None:
    """Return the cheapest edges to close between a node and many, or None where none can be had.

    Parameters
    ----------
    edges : Ints
        [P, 2] nodes that each edge joins; passable both ways.
    cost : Floats
        [P] of closing each edge; infinite where it cannot be closed. [1]
    source : int
        Node that must be cut off.
    sinks : Bools
        [N] nodes that it must not reach.

    Raises
    ------
    ValueError
        If a cost is negative or no number, or the source is a sink.
    """
    if bool(sinks[source]):
        raise ValueError("the source lies among the sinks")
    if np.isnan(cost).any() or (cost < 0).any():
        raise ValueError("every cost is a number of zero or more")
    nodes, joined = _contracted(edges, source, sinks)
    capacity = _steps(cost)
    if reached(joined, capacity >= _NEVER, 0, nodes)[1]:
        return None
    graph = _both_ways(joined, capacity, nodes)
    # Edges pass both ways, so the flow may be sent backwards: from the many protected voids, where
    # few branches end blind, it takes a fifth of the time.
    backwards = maximum_flow(graph, 1, 0, method="dinic").flow
    residual = (graph + backwards).tocsr()
    residual.eliminate_zeros()
    near = np.zeros(nodes, dtype=np.bool_)
    near[breadth_first_order(residual, 0, return_predecessors=False)] = True
    cut = near[joined[:, 0]] != near[joined[:, 1]]
    return Cut(cut, float(cost[cut].sum()))


def reached(edges: Ints, is_open: Bools, source: int, count: int) -> Bools:
    """Return which nodes a node reaches over open edges.

    Parameters
    ----------
    edges : Ints
        [P, 2] nodes that each edge joins.
    is_open : Bools
        [P] edges that let anything pass.
    source : int
        Where it starts.
    count : int
        Number of nodes.

    Returns
    -------
    Bools
        [N]
    """
    one, other = edges[is_open, 0], edges[is_open, 1]
    ones = np.ones(len(one), dtype=np.int8)
    graph = csr_matrix((ones, (one, other)), shape=(count, count))
    found = np.zeros(count, dtype=np.bool_)
    order = breadth_first_order(graph, source, directed=False, return_predecessors=False)
    found[order] = True
    return found


def _contracted(edges: Ints, source: int, sinks: Bools) -> tuple[int, Ints]:
    """Return the number of nodes and the edges with the source as node 0 and all sinks as 1."""
    number = np.ones(len(sinks), dtype=np.int32)
    others = ~sinks
    others[source] = False
    count = int(others.sum())
    number[others] = np.arange(2, 2 + count, dtype=np.int32)
    number[source] = 0
    return count + 2, number[edges].reshape(-1, 2)


def _steps(cost: Floats) -> Ints:
    finite = np.isfinite(cost)
    total = float(cost[finite].sum())
    # An edge that costs nothing must still be counted as one to close.
    scale = min(1.0 / _FINEST, (_STEPS - len(cost)) / total) if total > 0 else 1.0
    out = np.full(len(cost), _NEVER, dtype=np.int32)
    out[finite] = np.maximum(np.rint(cost[finite] * scale), 1).astype(np.int32)
    return out


def _both_ways(joined: Ints, capacity: Ints, nodes: int) -> csr_matrix:
    """Return symmetric capacities; parallel edges add up, and none exceeds "never"."""
    apart = joined[:, 0] != joined[:, 1]
    one, other = joined[apart, 0], joined[apart, 1]
    wide = np.concatenate([capacity[apart], capacity[apart]]).astype(np.int64)
    rows, columns = np.concatenate([one, other]), np.concatenate([other, one])
    graph = csr_matrix((wide, (rows, columns)), shape=(nodes, nodes))
    graph.sum_duplicates()
    graph.data = np.minimum(graph.data, _NEVER).astype(np.int32)
    return graph

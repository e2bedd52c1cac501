"""The cheapest cut against other methods: networkx and augmenting paths on 200 graphs,
every cut on small ones.

Max flow equals min cut: Ford & Fulkerson 1956 (from memory).
"""

from __future__ import annotations

from collections import deque
from itertools import product

import networkx
import numpy as np
import pytest

from independent.flow_oracle import max_flow
from wainscot.arrays import Bools, Floats, Ints
from wainscot.sealing.cut import cheapest_cut, reached


def _graph(seed: int, most: int = 30) -> tuple[Ints, Floats, int, Bools]:
    rng = np.random.default_rng(seed)
    nodes = int(rng.integers(3, most))
    count = int(rng.integers(2, 4 * nodes))
    edges = rng.integers(0, nodes, (count, 2)).astype(np.int32)
    cost = rng.integers(1, 20, count).astype(np.float64)
    sinks = rng.random(nodes) < 0.3
    sinks[0], sinks[nodes - 1] = False, True
    return edges, cost, 0, sinks


def _walk(edges: Ints, is_open: Bools, source: int) -> set[int]:
    """Breadth first on lists, nothing of the project in it."""
    near: dict[int, list[int]] = {}
    for (a, b), free in zip(edges.tolist(), is_open.tolist(), strict=True):
        if free:
            near.setdefault(a, []).append(b)
            near.setdefault(b, []).append(a)
    seen, queue = {source}, deque([source])
    while queue:
        for there in near.get(queue.popleft(), []):
            if there not in seen:
                seen.add(there)
                queue.append(there)
    return seen


def _greatest_flow(edges: Ints, cost: Floats, source: int, sinks: Bools) -> float:
    """By networkx (preflow-push), with a node behind all sinks; nothing of the project in it."""
    graph = networkx.Graph()
    graph.add_nodes_from([source, "end"])
    for (a, b), wide in zip(edges.tolist(), cost.tolist(), strict=True):
        before = graph.get_edge_data(a, b, {"capacity": 0.0})["capacity"]
        graph.add_edge(a, b, capacity=before + wide)
    # An edge without a capacity takes any flow.
    graph.add_edges_from((sink, "end") for sink in np.flatnonzero(sinks).tolist())
    return float(networkx.maximum_flow_value(graph, source, "end"))


@pytest.mark.parametrize("seed", range(200))
def test_the_cost_of_the_cut_is_the_greatest_flow(seed: int) -> None:
    edges, cost, source, sinks = _graph(seed)
    found = cheapest_cut(edges, cost, source, sinks)
    assert found is not None
    assert found.cost == _greatest_flow(edges, cost, source, sinks)
    assert found.cost == max_flow(
        [(int(a), int(b)) for a, b in edges], [int(c) for c in cost], source,
        set(np.flatnonzero(sinks).tolist()),
    )  # fmt: skip
    # And it is a cut: a walk that does not use it ends before any sink.
    assert not _walk(edges, ~found.cut, source) & set(np.flatnonzero(sinks).tolist())
    assert set(np.flatnonzero(reached(edges, ~found.cut, source, len(sinks))).tolist()) == _walk(
        edges, ~found.cut, source
    )


def test_a_second_cut_shares_no_edge_with_the_first_and_is_the_cheapest_such() -> None:
    possible = 0
    for seed in range(200, 300):
        edges, cost, source, sinks = _graph(seed)
        first = cheapest_cut(edges, cost, source, sinks)
        assert first is not None
        left = np.where(first.cut, np.inf, cost)
        second = cheapest_cut(edges, left, source, sinks)
        if second is None:
            # Only where edges of the first cut lead from the source to a sink by themselves.
            assert _walk(edges, first.cut, source) & set(np.flatnonzero(sinks).tolist())
            continue
        possible += 1
        assert not (first.cut & second.cut).any()
        # More than all edges together, so that the flow cannot need one of them.
        wide = np.where(first.cut, cost.sum() + 1.0, cost)
        assert second.cost == _greatest_flow(edges, wide, source, sinks)
    assert 20 < possible < 100


@pytest.mark.parametrize("seed", range(40))
def test_no_cut_of_all_is_cheaper_where_some_edges_cannot_be_closed(seed: int) -> None:
    rng = np.random.default_rng(1000 + seed)
    edges = rng.integers(0, 6, (9, 2)).astype(np.int32)
    cost = rng.integers(1, 9, 9).astype(np.float64)
    cost[rng.random(9) < 0.25] = np.inf
    sinks = np.array([False, False, False, False, True, True])
    ends = {4, 5}
    best = np.inf
    for chosen in product((False, True), repeat=9):
        cut = np.array(chosen)
        if not _walk(edges, ~cut, 0) & ends:
            best = min(best, float(cost[cut].sum()))
    found = cheapest_cut(edges, cost, 0, sinks)
    if np.isinf(best):
        assert found is None
    else:
        assert found is not None
        assert found.cost == best


def test_of_equal_cuts_the_one_nearest_outside_is_taken() -> None:
    edges = np.array([(0, 1), (1, 2), (2, 3)], dtype=np.int32)
    sinks = np.array([False, False, False, True])
    found = cheapest_cut(edges, np.ones(3), 0, sinks)
    assert found is not None
    assert found.cut.tolist() == [True, False, False]


def test_a_cost_that_is_no_number_is_refused() -> None:
    edges = np.array([(0, 1)], dtype=np.int32)
    with pytest.raises(ValueError, match="zero or more"):
        cheapest_cut(edges, np.array([np.nan]), 0, np.array([False, True]))
    with pytest.raises(ValueError, match="among the sinks"):
        cheapest_cut(edges, np.array([1.0]), 0, np.array([True, True]))

"""Beside general-purpose ways to the same answer, in one run: seconds of processor, and ratios.

What they have in common is the case and the answer; where the answer is not the same, its error is
told.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial
from typing import Any

import networkx
import numpy as np
import shapely
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array, csr_matrix
from scipy.sparse.csgraph import connected_components

from bench.bench_kernel import ROOT
from bench.bench_openings import case as openings_case
from bench.bench_sealing import square
from bench.houses import grid_house
from bench.table import Row
from wainscot import plan, voids
from wainscot.arrays import Floats
from wainscot.diagnosis.kernel import Problem, combine, run
from wainscot.openings.problem import Problem as Openings
from wainscot.openings.solving import GAP, solve
from wainscot.sealing.cut import cheapest_cut

LADDERS = range(8)
BATCH = 4096
SMALL_SIDE = 70
"""Of the square of the seal rows: the general library is slow. [voids]"""


def rows() -> list[Row]:
    """Return each way of ours, then the other's."""
    return [*_far_signs(), *_seals(), *_openings(), *_outlines()]


def _busy(work: Callable[[], Any]) -> tuple[float, Any]:
    """Seconds of processor of all threads, and what came out."""
    start = time.process_time()
    found = work()
    return time.process_time() - start, found


def _pair(what: str, ours: float, other: str, theirs: float, note: str = "") -> list[Row]:
    said = f"{theirs / ours:.3g} times ours" + (f"; {note}" if note else "")
    return [Row(f"{what}: ours", ours), Row(f"{what}: {other}", theirs, None, said)]


def _far_signs() -> list[Row]:
    """The kernel and plain importance sampling in numpy, against exact sums, for the same time."""
    sys.path.insert(0, str(ROOT / "tests" / "independent"))
    from exact import frontier
    from test_kernel_far import random_ladder

    ours, theirs, draws = 0.0, 0.0, 0
    errors: tuple[list[float], list[float]] = ([], [])
    for seed in LADDERS:
        problem = random_ladder(seed)
        true = frontier(problem).ever
        busy, populations = _busy(partial(run, problem, seed=seed))
        weighed = _Weighed(problem, seed)
        start = time.process_time()
        while time.process_time() - start < busy:
            weighed.draw()
        theirs += time.process_time() - start
        ours += busy
        draws += weighed.draws
        errors[0].append(float(np.abs(combine(populations).ever - true).max()))
        errors[1].append(float(np.abs(weighed.ever() - true).max()))
    own, plain = (
        f"largest error {max(one):.3f}, mean of them {np.mean(one):.3f}" for one in errors
    )
    what = f"{len(LADDERS)} ladders of 16 to 40 voids with far signs"
    return [
        Row(f"{what}: ours", ours, None, own),
        Row(f"{what}: draws from the prior, weighed (numpy, scipy)", theirs, None,
            f"the same time, {draws:,} draws; {plain}"),
    ]  # fmt: skip


class _Weighed:
    """Chances from draws of the prior that are weighed by the signs: importance sampling."""

    def __init__(self, problem: Problem, seed: int) -> None:
        self.problem = problem
        self.rng = np.random.default_rng(seed)
        self.rows = problem.detail.sum(axis=-1)[problem.row_of, 0]
        self.reached = np.zeros(len(problem.row_of))
        self.total, self.draws = 0.0, 0

    def draw(self) -> None:
        """Draw a batch: one graph of all draws side by side, its parts found in one go."""
        problem, count = self.problem, len(self.problem.row_of)
        on = self.rng.random((BATCH, len(problem.passage_prior))) < problem.passage_prior
        t, p = np.nonzero(on)
        ends = problem.passage_ends[p] + (t * count)[:, None]
        size = (BATCH * count,) * 2
        joined = csr_matrix((np.ones(len(t), np.int8), (ends[:, 0], ends[:, 1])), shape=size)
        parts, part = connected_components(joined, directed=False)
        chance = problem.source_prior / problem.source_prior.sum(axis=1, keepdims=True)
        state = (self.rng.random((BATCH, len(chance), 1)) > np.cumsum(chance, axis=1)[:, :2]).sum(2)
        best = np.zeros(parts, dtype=np.int64)
        at = part.reshape(BATCH, count)[:, problem.source_void]
        np.maximum.at(best, at.ravel(), state.ravel())
        reach = best[part].reshape(BATCH, count)
        weight = np.prod(self.rows[np.arange(count), reach], axis=1)
        self.reached += weight @ (reach > 0)
        self.total += float(weight.sum())
        self.draws += BATCH

    def ever(self) -> Floats:
        """Chance of each void that it was ever reached. [1]"""
        return self.reached / self.total if self.total > 0 else np.zeros(len(self.reached))


def _seals() -> list[Row]:
    """The cheapest cut, ours and by networkx."""
    edges, cost, inside = square(0.05, SMALL_SIDE)
    outside = len(inside) - 1
    ours, found = _busy(lambda: cheapest_cut(edges, cost, outside, inside))

    def by_networkx() -> float:
        graph = networkx.Graph()
        for (a, b), wide in zip(edges.tolist(), cost.tolist(), strict=True):
            graph.add_edge(a, b, capacity=wide)
        graph.add_edges_from((sink, "end") for sink in np.flatnonzero(inside).tolist())
        return float(networkx.maximum_flow_value(graph, outside, "end"))

    theirs, flow = _busy(by_networkx)
    assert found is not None
    note = f"costs {found.cost:.1f} and {flow:.1f}"
    return _pair(f"seal list, {len(edges):,} edges", ours, "networkx, its usual way", theirs, note)


def _openings() -> list[Row]:
    """The openings by our two stages, and the same programme handed to the solver as it stands."""
    problem = openings_case()
    ours, found = _busy(lambda: solve(problem))
    theirs, (value, gap) = _busy(lambda: _as_it_stands(problem))
    note = f"costs and losses {found.objective:.2f} and {value:.2f}, gap {100 * gap:.2f} %"
    what = f"{len(problem.ids)} openings x {len(problem.loss)} voids"
    return _pair(what, ours, "the solver without our reductions", theirs, note)


def _as_it_stands(one: Openings) -> tuple[float, float]:
    """Every opening, charge and void a column: whole openings and charges, losses by shares."""
    m, c, n = len(one.ids), len(one.charges), len(one.loss)
    shares = np.unique(one.share)
    steps = [(v, share) for v in range(n) for share in shares]
    held = np.diff(np.concatenate([[0.0], shares]))
    rows, columns, values, least = [], [], [], []
    for r, (o, k) in enumerate(zip(one.link_opening, one.link_charge, strict=True)):
        rows += [r, r]
        columns += [m + k, o]
        values += [1.0, -1.0]
        least.append(0.0)
    reaching: dict[int, list[tuple[int, float]]] = {}
    for o, v, share in zip(one.pair_opening, one.pair_void, one.share, strict=True):
        reaching.setdefault(int(v), []).append((int(o), float(share)))
    for s, (v, share) in enumerate(steps):
        enough = [o for o, reached in reaching.get(v, []) if reached >= share]
        rows += [len(least)] * (1 + len(enough))
        columns += [m + c + s, *enough]
        values += [1.0] * (1 + len(enough))
        least.append(1.0)
    width = m + c + len(steps)
    matrix = coo_array((values, (rows, columns)), shape=(len(least), width)).tocsr()
    cost = np.concatenate([one.cost, one.charge, (one.loss[:, None] * held).ravel()])
    whole = np.concatenate([np.ones(m + c), np.zeros(len(steps))])
    found = milp(
        cost,
        constraints=LinearConstraint(matrix, lb=np.array(least)),
        integrality=whole,
        bounds=Bounds(0.0, 1.0),
        options={"mip_rel_gap": GAP, "time_limit": 60.0},
    )
    left = float(one.loss.sum() * (1.0 - shares[-1]))
    return float(found.fun) + left, float(found.mip_gap)


def _outlines() -> list[Row]:
    """Which voids touch: the whole of our graph, beside the touching outlines alone by shapely."""
    drawn = plan.read(grid_house(2, 2, 2))
    ours, graph = _busy(lambda: voids.build(drawn, "norway rat"))

    def by_shapely() -> int:
        shapes = [shapely.Polygon(one) for one in graph.polygon]
        tree = shapely.STRtree(shapes)
        one, other = tree.query([each.buffer(0.02) for each in shapes], predicate="intersects")
        bottom, top = graph.bottom - 0.02, graph.top + 0.02
        level = (bottom[one] <= top[other]) & (bottom[other] <= top[one]) & (one < other)
        kept = zip(one[level], other[level], strict=True)
        return sum(shapes[a].buffer(0.02).intersection(shapes[b]).area > 0 for a, b in kept)

    theirs, pairs = _busy(by_shapely)
    note = (
        f"finds {pairs} pairs that touch, of which ours has rules for {len(graph.edges)} passages"
    )
    what = f"graph of {len(graph.keys)} voids"
    return _pair(what, ours, "touching outlines alone (shapely)", theirs, note)

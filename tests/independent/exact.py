"""Two exact answers to small problems, written without the kernel's code.

``enumerate_all`` sums over every joint state.  ``frontier`` adds the voids one by one and keeps,
for the voids whose passages are not all seen yet, which of them are joined, the reach their
component *claims* to have, and whether a source that supports the claim has been met.  Because the
claim is known at once, every sign is a factor of its own void; a zone that was noticed is written
as one minus a product and multiplied out.  The sum over the house's load level is outermost.
Linear readings tie voids together by a sum, so only ``enumerate_all`` knows them: it sums over the
soil and nest of every smelt void as well.

Method from memory: the frontier (transfer matrix) technique for network reliability, and
inclusion and exclusion for noisy-or.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import Any

import numpy as np

from wainscot.diagnosis.kernel import Problem

MOST_STATES = 1 << 17


@dataclass
class Exact:
    log_evidence: float
    ever: np.ndarray
    now: np.ndarray
    source: np.ndarray
    soil: np.ndarray
    nest: np.ndarray


def _finish(problem: Problem, total: float, by_load: np.ndarray, source: np.ndarray) -> Exact:
    """``by_load[l, v, r]`` and ``source[e, k]`` are parts of ``total``."""
    reach = by_load.sum(axis=0) / total
    cells = np.zeros((len(problem.row_of), 6))
    for load in range(len(problem.load_prior)):
        table = problem.detail[problem.row_of, load]
        row = table.sum(axis=2, keepdims=True)
        share = np.divide(table, row, out=np.zeros_like(table), where=row > 0)
        cells += (by_load[load][:, :, None] / total * share).sum(axis=1)
    return Exact(
        log_evidence=float(np.log(total)),
        ever=reach[:, 1] + reach[:, 2],
        now=reach[:, 2],
        source=source / total,
        soil=cells.reshape(-1, 3, 2).sum(axis=2),
        nest=cells.reshape(-1, 3, 2).sum(axis=1)[:, 1],
    )


def enumerate_all(problem: Problem) -> Exact:
    """Sum over every state of every passage and source."""
    passages, sources = len(problem.passage_prior), len(problem.source_void)
    voids = len(problem.row_of)
    count = 2**passages * 3**sources
    if count > MOST_STATES:
        raise ValueError(f"{count} states are too many")
    index = np.arange(count)
    run = (index[:, None] >> np.arange(passages)) & 1
    state = (index[:, None] // 2**passages // 3 ** np.arange(sources)) % 3
    prior = np.where(run == 1, problem.passage_prior, 1 - problem.passage_prior).prod(axis=1)
    for e in range(sources):
        prior = prior * problem.source_prior[e, state[:, e]]
    reach = np.zeros((count, voids), np.int64)
    for e, v in enumerate(problem.source_void):
        reach[:, v] = np.maximum(reach[:, v], state[:, e])
    for _ in range(voids):
        for p, (a, b) in enumerate(problem.passage_ends):
            both = np.where(run[:, p] == 1, np.maximum(reach[:, a], reach[:, b]), -1)
            reach[:, a] = np.maximum(reach[:, a], both)
            reach[:, b] = np.maximum(reach[:, b], both)
    zone = np.ones(count)
    for z, heard in enumerate(problem.zone_heard):
        quiet = np.full(count, 1 - problem.zone_false[z])
        for m in range(problem.zone_offsets[z], problem.zone_offsets[z + 1]):
            quiet = quiet * (1 - problem.zone_hit[m, reach[:, problem.zone_void[m]]])
        zone = zone * (1 - quiet if heard else quiet)
    if len(problem.linear_log_likelihood):
        return _with_readings(problem, prior * zone, reach, state)
    total, by_load = 0.0, np.zeros((len(problem.load_prior), voids, 3))
    source = np.zeros((sources, 3))
    rows = problem.detail.sum(axis=3)
    for load, q in enumerate(problem.load_prior):
        weight = prior * zone * q
        for v in range(voids):
            weight = weight * rows[problem.row_of[v], load, reach[:, v]]
        total += weight.sum()
        for r in range(3):
            by_load[load, :, r] = weight @ (reach == r)
        for k in range(3):
            source[:, k] += weight @ (state == k)
    return _finish(problem, total, by_load, source)


def _with_readings(
    problem: Problem, weight: np.ndarray, reach: np.ndarray, state: np.ndarray
) -> Exact:
    """The same with linear readings: for every distinct reach, all cells of the smelt voids.

    Without emissions by soil and nest the averages are all that a reading depends on.
    """
    distinct, which = np.unique(reach, axis=0, return_inverse=True)
    mass = np.bincount(which.ravel(), weight)
    total, cells = 0.0, np.zeros((reach.shape[1], 6))
    by_reach = np.zeros((len(distinct), 6 * reach.shape[1] + 1))
    for u, levels in enumerate(distinct):
        for load, q in enumerate(problem.load_prior):
            tables = problem.detail[problem.row_of, load, levels]
            by_reach[u] += q * _one_reach(problem, load, levels, tables)
    total = float(mass @ by_reach[:, 0])
    cells = (mass @ by_reach[:, 1:]).reshape(-1, 6) / total
    posterior = mass * by_reach[:, 0] / total
    share = weight * by_reach[which.ravel(), 0] / total
    return Exact(
        log_evidence=float(np.log(total)),
        ever=posterior @ (distinct > 0),
        now=posterior @ (distinct == 2),
        source=np.stack([share @ (state == k) for k in range(3)], axis=1),
        soil=cells.reshape(-1, 3, 2).sum(axis=2),
        nest=cells.reshape(-1, 3, 2).sum(axis=1)[:, 1],
    )


def _one_reach(problem: Problem, load: int, levels: np.ndarray, tables: np.ndarray) -> np.ndarray:
    """Sum over all cells given reach and load, then its parts by (void, cell)."""
    voids = len(levels)
    smelt = np.unique(problem.linear_void)
    grids = np.array(list(itertools.product(range(6), repeat=len(smelt)))).reshape(-1, len(smelt))
    joint = np.ones(len(grids))
    for i, v in enumerate(smelt):
        joint = joint * tables[v, grids[:, i]]
    exact_soil = len(problem.linear_soil) > 0
    for r, curve in enumerate(problem.linear_log_likelihood):
        sent = np.zeros(len(grids))
        for m in range(problem.linear_offsets[r], problem.linear_offsets[r + 1]):
            v = int(problem.linear_void[m])
            if exact_soil:
                sent = sent + problem.linear_soil[m, grids[:, int(np.searchsorted(smelt, v))]]
            else:
                sent = sent + problem.linear_emission[m, load, levels[v]]
        joint = joint * np.exp(
            np.interp(np.log(np.maximum(sent, 1e-12)), problem.linear_grid, curve)
        )
    rest = [v for v in range(voids) if v not in smelt]
    others = float(np.prod([tables[v].sum() for v in rest]))
    total = float(joint.sum()) * others
    parts = np.zeros((voids, 6))
    for i, v in enumerate(smelt):
        parts[v] = np.bincount(grids[:, i], joint, 6) * others
    for v in rest:
        row = tables[v].sum()
        parts[v] = total * tables[v] / row if row > 0 else 0.0
    return np.concatenate([[total], parts.ravel()])


def frontier(problem: Problem) -> Exact:
    """Exact answer for graphs that stay narrow in the order of their void numbers."""
    voids, sources = len(problem.row_of), len(problem.source_void)
    heard = np.flatnonzero(problem.zone_heard)
    by_load = np.zeros((len(problem.load_prior), voids, 3))
    source = np.zeros((sources, 3))
    total = 0.0
    for load, q in enumerate(problem.load_prior):
        for signs in itertools.product((0, 1), repeat=len(heard)):
            chosen = {int(z) for z, on in zip(heard, signs, strict=True) if on}
            chosen |= {int(z) for z in np.flatnonzero(~np.asarray(problem.zone_heard))}
            factor = q * (-1.0) ** sum(signs)
            values = factor * _sweep(problem, _factors(problem, load, chosen))
            total += values[0]
            by_load[load] += values[1 : 1 + 3 * voids].reshape(voids, 3)
            source += values[1 + 3 * voids :].reshape(sources, 3)
    return _finish(problem, total, by_load, source)


def _factors(problem: Problem, load: int, chosen: set[int]) -> np.ndarray:
    """Factor of every void by reach, with the chosen zones taken as quiet."""
    factors = problem.detail.sum(axis=3)[problem.row_of, load].copy()
    for z in chosen:
        first = True
        for m in range(problem.zone_offsets[z], problem.zone_offsets[z + 1]):
            miss = 1 - problem.zone_hit[m]
            factors[problem.zone_void[m]] *= miss * (1 - problem.zone_false[z] if first else 1.0)
            first = False
    return factors


def _sweep(problem: Problem, factors: np.ndarray) -> np.ndarray:
    """Sum over all states: the total first, then its parts by (void, reach) and (source, state)."""
    voids, sources = len(problem.row_of), len(problem.source_void)
    width = 1 + 3 * voids + 3 * sources
    ends = np.sort(problem.passage_ends, axis=1).reshape(-1, 2)
    last = np.arange(voids)
    for a, b in ends:
        last[a] = max(last[a], b)
    start = np.zeros(width)
    start[0] = 1.0
    # key: ((void, component), ...), ((claim, supported), ...)
    states: dict[Any, np.ndarray] = {((), ()): start}
    for v in range(voids):
        states = _introduce(problem, states, v, factors[v], voids)
        for p in np.flatnonzero(ends[:, 1] == v):
            states = _join(states, int(ends[p, 0]), v, float(problem.passage_prior[p]))
        for u in range(v + 1):
            if last[u] == v:
                states = _forget(states, u)
    return states.get(((), ()), np.zeros(width))


def _add(states: dict[Any, np.ndarray], key: Any, value: np.ndarray) -> None:
    states[key] = states[key] + value if key in states else value


def _normal(members: list[tuple[int, int]], parts: list[tuple[int, bool]]) -> Any:
    names: dict[int, int] = {}
    for _, part in members:
        names.setdefault(part, len(names))
    ordered = sorted(names, key=lambda part: names[part])
    return tuple((v, names[c]) for v, c in members), tuple(parts[c] for c in ordered)


def _introduce(
    problem: Problem, states: dict[Any, np.ndarray], v: int, factor: np.ndarray, voids: int
) -> dict[Any, np.ndarray]:
    own = np.flatnonzero(np.asarray(problem.source_void) == v)
    after: dict[Any, np.ndarray] = {}
    for (members, parts), value in states.items():
        for claim in range(3):
            for picks in itertools.product(range(claim + 1), repeat=len(own)):
                weight = factor[claim]
                for e, k in zip(own, picks, strict=True):
                    weight = weight * problem.source_prior[e, k]
                new = value * weight
                new[1 + 3 * v + claim] = new[0]
                for e, k in zip(own, picks, strict=True):
                    new[1 + 3 * voids + 3 * e + k] = new[0]
                supported = claim == 0 or claim in picks
                key = _normal([*members, (v, len(parts))], [*parts, (claim, supported)])
                _add(after, key, new)
    return after


def _join(states: dict[Any, np.ndarray], a: int, b: int, p: float) -> dict[Any, np.ndarray]:
    after: dict[Any, np.ndarray] = {}
    for key, value in states.items():
        _add(after, key, value * (1 - p))
        members, parts = key
        ca, cb = dict(members)[a], dict(members)[b]
        if parts[ca][0] != parts[cb][0]:
            continue
        merged = list(parts)
        merged[ca] = (parts[ca][0], parts[ca][1] or parts[cb][1])
        joined = [(v, ca if c == cb else c) for v, c in members]
        _add(after, _normal(joined, merged), value * p)
    return after


def _forget(states: dict[Any, np.ndarray], u: int) -> dict[Any, np.ndarray]:
    after: dict[Any, np.ndarray] = {}
    for (members, parts), value in states.items():
        part = dict(members)[u]
        left = [(v, c) for v, c in members if v != u]
        if all(c != part for _, c in left) and not parts[part][1]:
            continue  # a claim that no source supports
        _add(after, _normal(left, list(parts)), value)
    return after

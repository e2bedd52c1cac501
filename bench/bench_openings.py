"""Openings: 500 of them over 2,000 voids chosen within a gap of 0.5 %; the case is synthetic."""

from __future__ import annotations

import numpy as np

from bench.table import Row, median_seconds
from wainscot.openings.plans import Asked, Judge
from wainscot.openings.problem import Problem
from wainscot.openings.solving import GAP, solve

OPENINGS, VOIDS, WALLS, ROOMS, DRAWS = 500, 2000, 80, 20, 2048


def rows() -> list[Row]:
    """Return one choice, the hardest of the eight weights, and the whole curve on the draws."""
    problem = case()
    found = solve(problem)
    hardest = max((0.125, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0), key=lambda w: _seconds(problem, w))
    rng = np.random.default_rng(3)
    dirty = rng.random((DRAWS, VOIDS)) < problem.loss / problem.loss.max()
    judge = Judge(problem, dirty, dirty, np.full(DRAWS, 1.0 / DRAWS), Asked(), GAP)
    gap = max(point.gap or 0.0 for point in judge.curve(2.0))
    size = f"{OPENINGS} openings x {VOIDS} voids"
    return [
        Row(size, median_seconds(lambda: solve(problem)), 1.0, f"gap {100 * found.gap:.2f} %"),
        Row(f"the same, callback counted {hardest:g} times", _seconds(problem, hardest), 1.0),
        Row(f"the curve of ten points on {DRAWS} draws",
            median_seconds(lambda: judge.curve(2.0), 3), None, f"largest gap {100 * gap:.2f} %"),
    ]  # fmt: skip


def _seconds(problem: Problem, weight: float) -> float:
    return median_seconds(lambda: solve(problem, weight), 1)


def case() -> Problem:
    """Return walls of bays in rooms: single bays and strips, a charge a wall and one a room."""
    rng = np.random.default_rng(11)
    per_wall = VOIDS // WALLS
    pairs: list[tuple[int, int, float]] = []
    links: list[tuple[int, int]] = []
    cost = np.empty(OPENINGS)
    for o in range(OPENINGS):
        wall = int(rng.integers(WALLS))
        count = int(rng.choice([1, 2, 4, 8, per_wall], p=[0.3, 0.25, 0.25, 0.15, 0.05]))
        start = wall * per_wall + int(rng.integers(per_wall - count + 1))
        share = 1.0 if count > 1 else 0.88
        pairs += [(o, v, share) for v in range(start, start + count)]
        links += [(o, wall), (o, WALLS + wall % ROOMS)]
        cost[o] = 0.6 + 0.35 * count * rng.uniform(0.7, 1.3)
    charge = np.concatenate([rng.uniform(3.0, 6.0, WALLS), np.full(ROOMS, 3.0)])
    # Soil comes in stretches: a wall is likely or not.
    base = np.repeat(rng.beta(0.5, 3.0, WALLS), per_wall)
    return Problem(
        ids=tuple(f"o{o}" for o in range(OPENINGS)), cost=cost,
        charges=tuple(f"c{c}" for c in range(len(charge))), charge=charge,
        link_opening=np.array([o for o, _ in links], dtype=np.int32),
        link_charge=np.array([c for _, c in links], dtype=np.int32),
        pair_opening=np.array([o for o, _, _ in pairs], dtype=np.int32),
        pair_void=np.array([v for _, v, _ in pairs], dtype=np.int32),
        share=np.array([share for _, _, share in pairs]),
        loss=16.0 * base * rng.uniform(0.3, 1.0, VOIDS),
    )  # fmt: skip

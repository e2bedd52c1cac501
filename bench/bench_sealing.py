"""Sealing: the cheapest cut of 200,000 edges; the case is synthetic."""

from __future__ import annotations

import numpy as np

from bench.table import Row, median_seconds
from wainscot.arrays import Bools, Floats, Ints
from wainscot.sealing.cut import cheapest_cut

EDGES, VOIDS, WAYS_IN = 200_000, 60_000, 4_000


def rows() -> list[Row]:
    """Return one cut with the voids as sinks, and one through a large space given up."""
    edges, cost, inside = case(share_given_up=0.05)
    few, few_cost, few_inside = case(share_given_up=0.5)
    size = f"{EDGES:,} edges, {VOIDS:,} voids"
    return [
        Row(f"seal list, {size}, 5 % given up",
            median_seconds(lambda: cheapest_cut(edges, cost, VOIDS, inside)), 0.1),
        Row("the same, 50 % given up",
            median_seconds(lambda: cheapest_cut(few, few_cost, VOIDS, few_inside)), 0.1),
    ]  # fmt: skip


def case(share_given_up: float) -> tuple[Ints, Floats, Bools]:
    """Return edges between neighbours in a strip, ways in along its rim, and what is inside."""
    rng = np.random.default_rng(17)
    one = rng.integers(0, VOIDS, EDGES - WAYS_IN)
    other = np.clip(one + rng.integers(1, 40, len(one)), 0, VOIDS - 1)
    into = rng.integers(0, VOIDS, WAYS_IN)
    edges = np.concatenate(
        [np.stack([one, other], axis=1), np.stack([np.full(WAYS_IN, VOIDS), into], axis=1)]
    ).astype(np.int32)
    cost = rng.uniform(0.1, 6.0, EDGES)
    inside = np.append(np.arange(VOIDS) >= share_given_up * VOIDS, False)
    return edges, cost, inside

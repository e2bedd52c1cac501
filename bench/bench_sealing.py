"""Sealing: the cheapest cut of 200,000 edges; the cases are synthetic."""

from __future__ import annotations

from functools import partial

import numpy as np

from bench.table import Row, median_seconds
from wainscot.arrays import Bools, Floats, Ints
from wainscot.sealing.cut import cheapest_cut

EDGES, VOIDS, WAYS_IN = 200_000, 60_000, 4_000
SIDE = 224
"""A square of so many voids by so many, each joined to four others ahead of it."""


def rows() -> list[Row]:
    """Return cuts of a house-like square, and of a tangle in which everything joins everything."""
    found = []
    for name, case in (("square", square), ("tangle", tangle)):
        for share in (0.05, 0.5):
            edges, cost, inside = case(share)
            outside = len(inside) - 1
            seconds = median_seconds(partial(cheapest_cut, edges, cost, outside, inside))
            what = f"seal list, {name} of {len(edges):,} edges, {100 * share:.0f} % given up"
            found.append(Row(what, seconds, 0.1))
    return found


def square(share_given_up: float, side: int = SIDE) -> tuple[Ints, Floats, Bools]:
    """Return neighbours in a square, ways in at its rim; a stripe of it is given up."""
    rng = np.random.default_rng(17)
    number = np.arange(side * side).reshape(side, side)
    pairs = [
        (number[:, :-1], number[:, 1:]), (number[:-1], number[1:]),
        (number[:-1, :-1], number[1:, 1:]), (number[:-1, 1:], number[1:, :-1]),
    ]  # fmt: skip
    outside = side * side
    rim = np.unique(np.concatenate([number[0], number[-1], number[:, 0], number[:, -1]]))
    edges = np.concatenate(
        [np.stack([a.ravel(), b.ravel()], axis=1) for a, b in pairs]
        + [np.stack([np.full(len(rim), outside), rim], axis=1)]
    ).astype(np.int32)
    cost = rng.uniform(0.1, 6.0, len(edges))
    inside = np.append(np.arange(outside) >= share_given_up * outside, False)
    return edges, cost, inside


def tangle(share_given_up: float) -> tuple[Ints, Floats, Bools]:
    """Return edges between voids up to 40 apart in a row, and ways in anywhere: the hard case."""
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

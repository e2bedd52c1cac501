"""Air: pressures and spread in a house of 2,000 zones, beside a dense solve of one Newton step.

A grid of zones like bays of a wall, each joined to its neighbours, the outermost to outdoors; a
warm house on a cold night, with one fan.
"""

from __future__ import annotations

import numpy as np

from bench.table import Row, median_seconds
from wainscot.air import OUTDOORS, Fan, Network, Path, Zone, effective_area, exchange_of, solve
from wainscot.air import steady as settle


def grid(rows: int, columns: int) -> Network:
    """Return a wall of zones."""
    zones = tuple(Zone(f"{r}/{c}", 1.0, 294.0) for r in range(rows) for c in range(columns))
    rng = np.random.default_rng(1)
    paths = []
    for r in range(rows):
        for c in range(columns):
            leak = effective_area(float(rng.lognormal(-7, 1.5)))
            height = 0.1 * r
            if c + 1 < columns:
                paths.append(Path(f"{r}/{c}", f"{r}/{c + 1}", leak, height))
            if r + 1 < rows:
                paths.append(Path(f"{r}/{c}", f"{r + 1}/{c}", leak, height))
            if r in (0, rows - 1) or c in (0, columns - 1):
                paths.append(Path(f"{r}/{c}", OUTDOORS, leak, height))
    return Network(zones, tuple(paths), (Fan("0/0", OUTDOORS, 0.05),), 268.0)


def rows() -> list[Row]:
    """Return times by size; the dense solve is one step of the same size."""
    found: list[Row] = []
    for high, wide, target in ((10, 20, None), (40, 50, 1.0)):
        house, size = grid(high, wide), high * wide
        balance = solve(house)
        note = f"{balance.steps} Newton steps, {balance.left:.0e} of the largest flow left over"
        found.append(
            Row(f"pressures, {size} zones", median_seconds(lambda h=house: solve(h)), target, note)
        )
        room = exchange_of(house, balance, {"0/0": 1000.0})
        found.append(Row(f"steady spread, {size} zones", median_seconds(lambda r=room: settle(r))))
        dense = np.random.default_rng(1).normal(size=(size, size)) + size * np.eye(size)
        one = median_seconds(lambda d=dense, n=size: np.linalg.solve(d, np.ones(n)))
        steps = balance.steps + 1
        found.append(Row(f"dense solves, {size} zones", one * steps, None, f"{steps} of one step"))
    return found

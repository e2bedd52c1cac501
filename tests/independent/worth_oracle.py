"""A small ladder of voids where every joint state can be listed: an oracle for the worth of checks.

Two rows of four voids, ten passages that are open or not, one way in that is never / past / now
used, three of three sorts of soil in each void given whether it was reached.  Nothing here imports
the project: reach is found by repeated spreading, and expectations are sums over all states.
"""

from __future__ import annotations

import itertools
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

VOIDS = 8
PASSAGES = [(0, 1), (1, 2), (2, 3), (4, 5), (5, 6), (6, 7), (0, 4), (1, 5), (2, 6), (3, 7)]
OPEN = [0.7, 0.5, 0.6, 0.4, 0.5, 0.8, 0.3, 0.6, 0.2, 0.5]
WAY_IN, WAY_IN_CHANCES = 0, (0.15, 0.35, 0.5)
SOIL_GIVEN = np.array([[1.0, 0.0, 0.0], [0.35, 0.4, 0.25], [0.2, 0.45, 0.35]])
"""Chance of none / light / heavy in a void that is unreached / reached in the past / now."""


class Exact(NamedTuple):
    """Every distinct reach of the eight voids, and its probability given what is known."""

    reach: NDArray[np.int64]
    """[S, 8] 0 unreached, 1 past, 2 now."""
    chance: Floats
    """[S] sums to one."""


def enumerate_states(seen_soiled: int | None = 6) -> Exact:
    """List all 3 x 2^10 states; ``seen_soiled`` is a void where light soil was seen for sure."""
    table: dict[tuple[int, ...], float] = {}
    for flags in itertools.product((0, 1), repeat=len(PASSAGES)):
        weight = np.prod([p if on else 1 - p for p, on in zip(OPEN, flags, strict=True)])
        inside = {WAY_IN}
        for _ in range(VOIDS):
            for (a, b), on in zip(PASSAGES, flags, strict=True):
                if on and (a in inside or b in inside):
                    inside |= {a, b}
        for state, chance in enumerate(WAY_IN_CHANCES):
            reach = tuple(state if v in inside else 0 for v in range(VOIDS))
            likelihood = 1.0 if seen_soiled is None else SOIL_GIVEN[reach[seen_soiled], 1]
            table[reach] = table.get(reach, 0.0) + float(weight) * chance * likelihood
    reach = np.array(list(table), dtype=np.int64)
    chance = np.array(list(table.values()))
    return Exact(reach[chance > 0], chance[chance > 0] / chance.sum())


def exact_value(
    state: Exact, loss: Floats, opening: Floats, power: Floats, at: int, fixed: int | None = 6
) -> float:
    """Return the worth of looking at void ``at`` with ``power[o, soil]``, summed over all states.

    ``loss[soil]`` is the loss of leaving a void with that soil, ``opening[v]`` the cost of opening.
    """
    given = SOIL_GIVEN[state.reach].copy()
    if fixed is not None:
        given[:, fixed] = [0.0, 1.0, 0.0]
    mean = given @ loss
    worth = np.minimum(state.chance @ mean, opening).sum()
    for shown in power:
        by_state = given[:, at] @ shown
        joint = (state.chance * by_state) @ mean
        joint[at] = state.chance @ (given[:, at] @ (shown * loss))
        worth -= np.minimum(joint, opening * (state.chance @ by_state)).sum()
    return float(worth)


def draw(
    state: Exact, count: int, seed: int, fixed: int | None = 6
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return ``count`` draws of reach and soil, [K, 8] each."""
    rng = np.random.default_rng(seed)
    reach = state.reach[rng.choice(len(state.chance), size=count, p=state.chance)]
    cumulative = SOIL_GIVEN[reach].cumsum(axis=2)
    soil = (rng.random((count, VOIDS, 1)) > cumulative).sum(axis=2)
    if fixed is not None:
        soil[:, fixed] = 1
    return reach, soil

"""The truth ranks among the engine's draws as one of them; with a fault planted it does not.

Simulation-based calibration (Talts, Betancourt, Simpson, Vehtari & Gelman 2018, arXiv:1804.06788):
if truth and signs come from the model, the rank of any statistic of the truth among independent
posterior draws is uniform.  Here 60 small houses with fixed seeds; ``python -m study`` has the long
form.
"""

from __future__ import annotations

import functools

import numpy as np
import pytest
from scipy import stats

from wainscot import signs
from wainscot.diagnosis import kernel
from wainscot.diagnosis.problem import make
from wainscot.simulate import house, inspect, scene, spread, state_of

HOUSES = range(100, 160)
DRAWN = 63
STATISTICS = ("passages run", "voids ever reached", "voids soiled")


def counts(run: np.ndarray, reach: np.ndarray, soiled: np.ndarray) -> np.ndarray:
    return np.stack([run.sum(axis=1), (reach > 0).sum(axis=1), soiled.sum(axis=1)], axis=1)


def ranks(seed: int, flags: int) -> tuple[list[float], float]:
    """Return the rank of the truth by statistic, between 0 and 1, and the tilt that was used."""
    empty = house(seed, storeys=1, rooms=4)
    truth = spread(empty, seed)
    job = inspect(empty, truth, seed, visits=2)
    seen = scene(job, truth.species)
    state = state_of(truth, seen.graph)
    problem, _ = make(seen.graph, signs.read(seen.job, seen.plan, seen.graph, truth.species))
    populations = kernel.run(
        problem, seed=seed, populations=4, chains=128, length=1, threads=1, flags=flags
    )
    logs = np.array([one.log_evidence for one in populations])
    weight = np.exp(logs - logs.max())
    rng = np.random.default_rng([seed, 40])
    rows = []
    for one, n in zip(populations, rng.multinomial(DRAWN, weight / weight.sum()), strict=True):
        pick = rng.choice(len(one.load), size=n, replace=n > len(one.load))
        run = np.unpackbits(one.run[pick], axis=1, bitorder="little")
        soiled = (one.soil[pick] > 0) | (one.nest[pick] > 0)
        rows.append(counts(run[:, : len(seen.graph.edges)], one.reach[pick], soiled))
    drawn = np.concatenate(rows)
    true = counts(state.run[None], state.reach[None], state.soiled[None])[0]
    less, tied = (drawn < true).sum(axis=0), (drawn == true).sum(axis=0)
    place = (less + rng.random(len(true)) * (tied + 1)) / (DRAWN + 1)
    return [float(one) for one in place], populations[0].tilt


@functools.cache
def sound() -> tuple[np.ndarray, np.ndarray]:
    found = [ranks(seed, 0) for seed in HOUSES]
    return np.array([place for place, _ in found]), np.array([tilt for _, tilt in found])


@pytest.mark.parametrize("k", range(len(STATISTICS)), ids=STATISTICS)
def test_the_rank_of_the_truth_is_uniform(k: int) -> None:
    place, _ = sound()
    assert stats.kstest(place[:, k], "uniform").pvalue > 1e-3


def test_a_tilt_that_is_never_taken_back_is_noticed() -> None:
    """Only houses where the tilt is used can show it; which they are follows from the signs."""
    place, tilt = sound()
    tilted = [seed for seed, s in zip(HOUSES, tilt, strict=True) if s > 0]
    assert len(tilted) >= 15
    faulty = np.array([ranks(seed, kernel.NO_CORRECTION)[0] for seed in tilted])
    assert stats.kstest(faulty[:, 0], "uniform").pvalue < 1e-5
    assert stats.kstest(place[tilt > 0, 0], "uniform").pvalue > 1e-3

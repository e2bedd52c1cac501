"""Calibration where species and joists are unknown: the weights of whole cases are at stake.

The house is the same as in the main arm, but nobody told the species and the ground joists run
either way by a framing guess.  The truth's case is drawn by the same chances.  Ranks of the case's
number and of counts over the house are taken among draws from all cases by their weights.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from study.hard_houses import guessed, without_species
from study.houses import small_house
from study.ranks import DRAWN
from wainscot.arrays import Floats
from wainscot.diagnosis.cases import cases
from wainscot.diagnosis.posterior import Sample, weights
from wainscot.diagnosis.sampling import Effort, sample_cases, worth_drawing
from wainscot.job import Job
from wainscot.simulate import inspect, scene, spread, state_of

NAMES = ("case", "voids ever reached", "voids soiled", "voids in use now", "load of the house")
WEIGHTS = {"x": 0.6, "y": 0.4}


def unsure(job: Job) -> Job:
    """Return a house whose species and ground joists nobody knows.

    Parameters
    ----------
    job : Job
        The house.
    """
    job = without_species(job)
    drawn = "joists_run" in job.entities["level_0"]["floor"]
    return guessed(job, WEIGHTS) if drawn else job


def ranks(seed: int) -> list[float]:
    """Return the rank of the truth in every statistic for one house.

    Parameters
    ----------
    seed : int
        Of all randomness.
    """
    empty = unsure(small_house(seed))
    truth = spread(empty, seed)
    job = inspect(empty, truth, seed, 2)
    state = state_of(truth, scene(job, truth.species, truth.guess).graph)
    found = cases(job)
    effort = Effort(seed, 8, 2048, 1)
    kept, _ = worth_drawing(found, effort, None)
    samples = sample_cases(kept, effort, "study", None)
    names = [(one.species, one.guess) for one in found]
    true = np.array([
        names.index((truth.species, truth.guess)), (state.reach > 0).sum(), state.soiled.sum(),
        (state.reach == 2).sum(), state.load,
    ], dtype=np.float64)  # fmt: skip
    rng = np.random.default_rng([seed, 21])
    drawn = _drawn(samples, names, rng)
    less, tied = (drawn < true).sum(axis=0), (drawn == true).sum(axis=0)
    return [float(one) for one in less + np.floor(rng.random(len(true)) * (tied + 1))]


def _drawn(samples: tuple[Sample, ...], names: list[Any], rng: np.random.Generator) -> Floats:
    shares = weights(samples)
    flat = np.concatenate(shares)
    owners = [(k, j) for k, share in enumerate(shares) for j in range(len(share))]
    number = rng.multinomial(DRAWN, flat / flat.sum())
    rows = []
    for (k, j), n in zip(owners, number, strict=True):
        one = samples[k].populations[j]
        case = samples[k].case
        for d in rng.choice(len(one.load), size=n, replace=n > len(one.load)):
            soiled = (one.soil[d] > 0) | (one.nest[d] > 0)
            rows.append([
                names.index((case.species, case.guess)), (one.reach[d] > 0).sum(), soiled.sum(),
                (one.reach[d] == 2).sum(), one.load[d],
            ])  # fmt: skip
    return np.array(rows, dtype=np.float64)

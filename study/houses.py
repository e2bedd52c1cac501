"""The houses of the studies: drawn, lived in, looked at and diagnosed, each from one seed."""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot import signs
from wainscot.diagnosis import kernel
from wainscot.diagnosis.kernel import Population, Problem
from wainscot.diagnosis.problem import Merged, make
from wainscot.job import Job
from wainscot.signs.evidence import Evidence
from wainscot.simulate import Scene, State, Truth, house, inspect, scene, spread, state_of

LEAST_VOIDS, MOST_VOIDS = 60, 150
POPULATIONS, DRAWS = 8, 256
"""Populations of one house, and draws of each."""


class Lived(msgspec.Struct, frozen=True):
    """One simulated house with the truth and what a diagnosis may see of it."""

    seed: int
    job: Job
    truth: Truth
    seen: Scene
    state: State
    evidence: Evidence


class Answered(msgspec.Struct, frozen=True):
    """The same with the engine's draws."""

    lived: Lived
    problem: Problem
    merged: Merged
    populations: tuple[Population, ...]


def small_house(seed: int) -> Job:
    """Return the first house of a seed that is neither tiny nor large; the truth plays no part.

    Parameters
    ----------
    seed : int
        Of all randomness in it.
    """
    rng = np.random.default_rng([seed, 10])
    while True:
        storeys = int(rng.integers(1, 3))
        rooms = int(rng.integers(2, 6 if storeys == 1 else 3))
        job = house(int(rng.integers(2**31)), storeys, rooms)
        seen = scene(job)
        if LEAST_VOIDS <= len(seen.graph.keys) <= MOST_VOIDS:
            return job


def lived_in(seed: int) -> Lived:
    """Return a house of a seed with animals and two or three visits."""
    empty = small_house(seed)
    truth = spread(empty, seed)
    visits = 2 + seed % 2
    job = inspect(empty, truth, seed, visits)
    seen = scene(job, truth.species, truth.guess)
    evidence = signs.read(seen.job, seen.plan, seen.graph, truth.species)
    return Lived(seed, job, truth, seen, state_of(truth, seen.graph), evidence)


def answered(lived: Lived, *, flags: int = 0, draws: int = DRAWS) -> Answered:
    """Return the engine's draws for a house.

    Parameters
    ----------
    lived : Lived
        The house.
    flags : int
        Flags of the kernel.
    draws : int
        Draws of each population.
    """
    problem, merged = make(lived.seen.graph, lived.evidence)
    populations = kernel.run(
        problem, seed=lived.seed, populations=POPULATIONS, chains=draws, length=1, threads=1,
        flags=flags,
    )  # fmt: skip
    return Answered(lived, problem, merged, tuple(populations))

"""The houses of the studies: drawn, lived in, looked at and diagnosed, each from one seed."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from wainscot import signs
from wainscot.arrays import Floats
from wainscot.checks import Pooled
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


def pooled(found: Sequence[Population], share: Floats | None = None, species: str = "") -> Pooled:
    """Return the draws of one case as checks and openings read them.

    Parameters
    ----------
    found : sequence of Population
        Populations of one case.
    share : Floats, optional
        Weight of each population; by its evidence if not given. [1]
    species : str
        The animal; needed where looks are weighed.
    """
    if share is None:
        logs = np.array([one.log_evidence for one in found])
        share = np.exp(logs - logs.max())
        share = share / share.sum()
    weight = np.concatenate(
        [np.full(len(one.load), w / len(one.load)) for one, w in zip(found, share, strict=True)]
    )
    zeros = np.zeros(len(weight), dtype=np.int32)
    return Pooled(
        reach=np.concatenate([one.reach for one in found]),
        soil=np.concatenate([one.soil for one in found]),
        nest=np.concatenate([one.nest for one in found]),
        weight=weight, species=(species,), species_of=zeros, choices=({},), guess_of=zeros,
        source=np.zeros((len(weight), 0), dtype=np.uint8),
    )  # fmt: skip

"""The draws of a diagnosis as checks read them: one number for the state of each void in each draw.

    pooled = pool(draws, answers_of(job))

Draws keep the order of their populations, so that a stretch of neighbours is a population or a part
of one in every case; errors are worked out from stretches.

Limits: the load of the house is not kept in the draws, so what depends on it (how soon a trap
catches) is averaged over its prior.
"""

from __future__ import annotations

import msgspec
import numpy as np
from numpy.typing import NDArray

from wainscot.arrays import Bytes, Floats, Ints
from wainscot.diagnosis.draws import Draws
from wainscot.job import Job
from wainscot.plan import hypotheses
from wainscot.plan.guesses import guesses_of

CELLS = 18
"""Reach (3) x soil (3) x nest (2), nest varying fastest."""
MOST_DRAWS = 8192
LEAST_WEIGHT = 1e-9


class Pooled(msgspec.Struct, frozen=True):
    """K draws over the V voids and E ways in of the answer's graph."""

    reach: Bytes
    """[K, V] 0 unreached, 1 past, 2 now."""
    soil: Bytes
    """[K, V] 0 none, 1 light, 2 heavy."""
    nest: Bytes
    """[K, V] 0 or 1."""
    weight: Floats
    """[K] sums to one. [1]"""
    source: Bytes
    """[K, E] 0 never, 1 past, 2 now."""
    species: tuple[str, ...]
    """Every species that a draw may be about."""
    species_of: Ints
    """[K] index into ``species``."""
    choices: tuple[dict[str, str], ...]
    """For each framing guess, what it answers to each question."""
    guess_of: Ints
    """[K] index into ``choices``."""

    def every(self, step: int) -> Pooled:
        """Return every ``step``-th draw."""
        weight = self.weight[::step]
        return Pooled(
            reach=self.reach[::step],
            soil=self.soil[::step],
            nest=self.nest[::step],
            weight=weight / weight.sum(),
            source=self.source[::step],
            species=self.species,
            species_of=self.species_of[::step],
            choices=self.choices,
            guess_of=self.guess_of[::step],
        )

    def states(self) -> NDArray[np.intp]:
        """Return one number for species, reach, soil and nest: [V, K]."""
        cell = self.reach * 6 + self.soil * 2 + self.nest
        return np.ascontiguousarray((self.species_of[:, None] * CELLS + cell).T, dtype=np.intp)


def pool(draws: Draws, answers: dict[str, dict[str, str]] | None = None) -> Pooled:
    """Return the draws that have weight, with what each guess answers.

    Parameters
    ----------
    draws : Draws
        The draws of a diagnosis.
    answers : dict, optional
        For each framing guess by key, what it answers to each question (:func:`answers_of`).

    Returns
    -------
    Pooled
        At most 8,192 draws; of more, those at equal steps of weight.
    """
    keep, weight = _thinned(draws.weight)
    order = _interleaved(draws.case[keep])
    keep, weight = keep[order], weight[order]
    species = tuple(sorted({name for name, _ in draws.cases}))
    guesses = sorted({guess for _, guess in draws.cases})
    case = draws.case[keep]
    of_species = np.array([species.index(name) for name, _ in draws.cases], dtype=np.int32)
    of_guess = np.array([guesses.index(guess) for _, guess in draws.cases], dtype=np.int32)
    return Pooled(
        reach=draws.ever[keep].astype(np.uint8) + draws.now[keep].astype(np.uint8),
        soil=draws.soil[keep],
        nest=draws.nest[keep].astype(np.uint8),
        weight=weight,
        source=draws.entry[keep],
        species=species,
        species_of=of_species[case],
        choices=tuple((answers or {}).get(guess, {}) for guess in guesses),
        guess_of=of_guess[case],
    )


def _interleaved(case: Ints) -> Ints:
    """Return an order in which every stretch holds its share of every case, in their own order."""
    place = np.empty(len(case))
    for one in np.unique(case):
        mine = np.flatnonzero(case == one)
        place[mine] = (np.arange(len(mine)) + 0.5) / len(mine)
    return np.argsort(place, kind="stable").astype(np.int32)


def answers_of(job: Job) -> dict[str, dict[str, str]]:
    """Return what each framing guess of a job answers: guess key -> question -> id of the guess."""
    question = {key: guess.question for key, guess in guesses_of(job).items()}
    return {
        key: {question[each]: each for each in key.split(" + ") if each in question}
        for key, _, _ in hypotheses(job)
    }


def _thinned(share: Floats) -> tuple[Ints, Floats]:
    """Return which draws to keep, in their order, and their weights."""
    if np.count_nonzero(share > LEAST_WEIGHT) <= MOST_DRAWS:
        keep = np.flatnonzero(share > LEAST_WEIGHT).astype(np.int32)
        return keep, share[keep] / share[keep].sum()
    steps = (np.arange(MOST_DRAWS) + 0.5) / MOST_DRAWS
    found = np.searchsorted(np.cumsum(share) / share.sum(), steps)
    keep, times = np.unique(found.astype(np.int32), return_counts=True)
    return keep, times / MOST_DRAWS

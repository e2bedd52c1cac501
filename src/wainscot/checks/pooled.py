"""The draws of all cases as checks read them: one array of states over the voids of one graph.

Draws of several species and framing guesses are laid side by side, each with its weight; a void
that a guess does not have counts as unreached there.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

import msgspec
import numpy as np
from numpy.typing import NDArray

from wainscot.arrays import Bytes, Floats, Ints
from wainscot.diagnosis.posterior import Sample, weights
from wainscot.job import FramingGuess, Job, typed
from wainscot.plan import hypotheses

CELLS = 18
"""Reach (3) x soil (3) x nest (2), nest varying fastest."""
MOST_DRAWS = 8192


class Pooled(msgspec.Struct, frozen=True):
    """K draws over the V voids and E ways in of one graph."""

    reach: Bytes
    """[K, V] 0 unreached, 1 past, 2 now."""
    soil: Bytes
    """[K, V] 0 none, 1 light, 2 heavy."""
    nest: Bytes
    """[K, V] 0 or 1."""
    load: Bytes
    """[K] load level of the house."""
    weight: Floats
    """[K] sums to one. [1]"""
    species: tuple[str, ...]
    """Every species that a draw may be about."""
    species_of: Ints
    """[K] index into ``species``."""
    source: Bytes
    """[K, E] 0 never, 1 past, 2 now; entry points only, zero for other ways in."""
    guess_of: Ints
    """[K] index into ``choices``."""
    choices: tuple[dict[str, str], ...] = ({},)
    """For each framing guess, what it answers to each question."""

    def states(self, loads: int) -> NDArray[np.intp]:
        """Return one number for species, load, reach, soil and nest: [V, K]."""
        cell = self.reach * 6 + self.soil * 2 + self.nest
        house = (self.species_of * loads + self.load) * CELLS
        return np.ascontiguousarray((house[:, None] + cell).T, dtype=np.intp)


def pool(samples: Sequence[Sample], choices: dict[str, dict[str, str]] | None = None) -> Pooled:
    """Return the draws of every case that has weight, under the voids of the answer.

    Parameters
    ----------
    samples : sequence of diagnosis.posterior.Sample
        The cases with their draws; the first one's graph is the answer's.
    choices : dict, optional
        For each framing guess by key, what it answers to each question.

    Returns
    -------
    Pooled
        At most 8,192 draws; of more, evenly weighted ones are taken at equal steps of weight.
    """
    rows = [
        (sample, number, float(weight))
        for sample, by_population in zip(samples, weights(tuple(samples)), strict=True)
        for number, weight in enumerate(by_population)
    ]
    names = tuple(sorted({sample.case.species for sample in samples}))
    guesses = sorted({sample.case.guess for sample in samples})
    lengths = [len(sample.populations[number].load) for sample, number, _ in rows]
    share = np.concatenate([np.full(n, w / n) for n, (_, _, w) in zip(lengths, rows, strict=True)])
    keep, weight = _thinned(share)
    starts = [0, *accumulate(lengths)]
    parts = []
    for (sample, number, _), start, length in zip(rows, starts, lengths, strict=False):
        here = (keep >= start) & (keep < start + length)
        # Chain by chain, so that a block of neighbouring draws holds whole chains.
        chain = (keep[here] - start) % sample.populations[number].chains
        order = np.argsort(chain, kind="stable")
        parts.append(_Part(sample, number, (keep[here] - start)[order]))
        weight[here] = weight[here][order]
    return Pooled(
        reach=np.concatenate([part.of_voids("reach") for part in parts]),
        soil=np.concatenate([part.of_voids("soil") for part in parts]),
        nest=np.concatenate([part.of_voids("nest") for part in parts]),
        load=np.concatenate([part.population.load[part.chosen] for part in parts]),
        weight=weight,
        species=names,
        species_of=np.concatenate(
            [part.repeated(names.index(part.sample.case.species)) for part in parts]
        ),
        source=np.concatenate([part.of_sources() for part in parts]),
        guess_of=np.concatenate(
            [part.repeated(guesses.index(part.sample.case.guess)) for part in parts]
        ),
        choices=tuple((choices or {}).get(guess, {}) for guess in guesses),
    )


def answers_of(job: Job) -> dict[str, dict[str, str]]:
    """Return what each framing guess of a job answers: guess key -> question -> id of the guess."""
    question = {
        key: entity.question
        for key, entity in typed(job).items()
        if isinstance(entity, FramingGuess)
    }
    return {
        key: {question[each]: each for each in key.split(" + ") if each in question}
        for key, _, _ in hypotheses(job)
    }


def _thinned(share: Floats) -> tuple[Ints, Floats]:
    """Return which draws to keep, and their weights; draws without weight are dropped."""
    if np.count_nonzero(share > 1e-9) <= MOST_DRAWS:
        keep = np.flatnonzero(share > 1e-9).astype(np.int32)
        return keep, share[keep] / share[keep].sum()
    steps = (np.arange(MOST_DRAWS) + 0.5) / MOST_DRAWS
    found = np.searchsorted(np.cumsum(share) / share.sum(), steps)
    keep, times = np.unique(found.astype(np.int32), return_counts=True)
    return keep, times / MOST_DRAWS


class _Part:
    """The kept draws of one population."""

    def __init__(self, sample: Sample, number: int, chosen: Ints) -> None:
        self.sample = sample
        self.population = sample.populations[number]
        self.chosen = chosen

    def repeated(self, value: int) -> Ints:
        return np.full(len(self.chosen), value, dtype=np.int32)

    def of_voids(self, field: str) -> Bytes:
        values: Bytes = getattr(self.population, field)[self.chosen]
        index = self.sample.void_map
        return np.where(index >= 0, values[:, np.maximum(index, 0)], 0).astype(np.uint8)

    def of_sources(self) -> Bytes:
        graph = self.sample.case.graph
        drawn = np.zeros((len(self.chosen), len(graph.source_keys)), dtype=np.uint8)
        for column, members in enumerate(self.sample.merged.members):
            if len(members) == 1 and graph.source_sort[int(members[0])] == "entry point":
                drawn[:, members[0]] = self.population.source[self.chosen, column]
        index = self.sample.source_map
        return np.where(index >= 0, drawn[:, np.maximum(index, 0)], 0).astype(np.uint8)

"""What each inspection does to the voids that matter: leave it out and see.

The draws are reweighted by the inverse of what the inspection contributed.  Where the weights are
too uneven (Pareto k over 0.7), or the draws hardly visit the states that would count more without
it, the answer is marked, and the most telling ones are run anew without the inspection.

Limits: one inspection at a time; two that say the same each seem to add little.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import numpy as np

from wainscot.arrays import Floats, Ints
from wainscot.diagnosis.answer import Contribution
from wainscot.diagnosis.kernel import Population
from wainscot.diagnosis.pareto import EFFECTIVE, TRUSTED, effective, smooth
from wainscot.diagnosis.posterior import Sample, weights
from wainscot.diagnosis.reweigh import log_ratio
from wainscot.diagnosis.reweigh import soiled as soiled_by_draw
from wainscot.signs import without
from wainscot.signs.evidence import Evidence

LEAST = 0.1
"""Changes of the log-odds below this are not told. [1]"""
_CLIP = 1e-3
_FEW = 20
_UNSEEN = 3.0


class LeftOut(msgspec.Struct, frozen=True):
    """Chances of the voids of interest as if one inspection had not been made."""

    key: str
    words: str
    soiled: Floats
    """[voids of interest] [1]"""
    reliable: bool


Rerun = Callable[[str], Floats]
"""Chance of soil in each void of interest without one inspection, from new draws. [1]"""


def log_odds(chance: Floats) -> Floats:
    """Return log-odds, with chances kept between 0.001 and 0.999. [1]

    Parameters
    ----------
    chance : Floats
        Probabilities, any shape. [1]
    """
    kept = np.clip(chance, _CLIP, 1.0 - _CLIP)
    return np.asarray(np.log(kept) - np.log1p(-kept))


class Leaver:
    """Leaves out inspections one at a time, on draws taken once.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws.
    voids : Ints
        Voids of interest, in the answer's numbering.
    """

    def __init__(self, samples: tuple[Sample, ...], voids: Ints) -> None:
        self.samples = samples
        self.voids = voids
        soiled: list[Floats] = []
        base: list[Floats] = []
        for sample, weight in zip(samples, weights(samples), strict=True):
            for one, share in zip(sample.populations, weight, strict=True):
                soiled.append(self._soiled(sample, one, sample.case.evidence))
                base.append(np.full(len(one.load), np.log(max(share, 1e-300) / len(one.load))))
        self.base = np.concatenate(base)
        self.with_all = np.clip(np.exp(self.base) @ np.concatenate(soiled), 0.0, 1.0)

    def _soiled(self, sample: Sample, one: Population, evidence: Evidence) -> Floats:
        mapped = sample.void_map[self.voids]
        inside = soiled_by_draw(sample, one, evidence, np.maximum(mapped, 0))
        return np.asarray(np.where(mapped >= 0, inside, 0.0))

    def leave(self, key: str) -> LeftOut:
        """Return the chances without one inspection.

        Parameters
        ----------
        key : str
            Id of the inspection.
        """
        logs: list[Floats] = []
        soiled: list[Floats] = []
        most, words = 0.0, ""
        for sample in self.samples:
            evidence = sample.case.evidence
            gone = [each for each in evidence.statements if each.key == key]
            words = words or (gone[0].words if gone else "")
            other = without(evidence, key) if gone else evidence
            for one in sample.populations:
                ratio, greatest = log_ratio(sample, one, other)
                logs.append(ratio)
                most = max(most, greatest)
                soiled.append(self._soiled(sample, one, other))
        ratio = np.concatenate(logs)
        smoothed, k = smooth(self.base + ratio)
        weight = np.exp(smoothed - smoothed.max())
        weight = weight / weight.sum()
        enough = effective(smoothed) >= min(EFFECTIVE, effective(self.base) / 2.0)
        reliable = k < TRUSTED and enough and self._visited(ratio, most)
        return LeftOut(key, words, weight @ np.concatenate(soiled), reliable)

    def _visited(self, ratio: Floats, most: float) -> bool:
        """False where states that no draw visits might matter without the inspection.

        A state that none of K draws visits has a chance under about 3 / K.
        """
        mean = float(np.exp(self.base) @ np.exp(ratio - most))
        near = int((ratio > most - np.log(2.0)).sum())
        return near >= _FEW or _UNSEEN / (len(ratio) * max(mean, 1e-300)) <= 0.05


def contributions(
    leaver: Leaver, ids: tuple[str, ...], rerun: Rerun | None, most: int = 5
) -> tuple[Contribution, ...]:
    """Return what each inspection does to the voids of interest, the greatest first.

    Parameters
    ----------
    leaver : Leaver
        The draws.
    ids : tuple of str
        Ids of the voids of interest.
    rerun : callable or None
        Draws anew without an inspection, for those that cannot be reweighted.
    most : int
        How many inspections to run anew.
    """
    samples = leaver.samples
    keys = sorted({one.key for sample in samples for one in sample.case.evidence.statements})
    left = [leaver.leave(key) for key in keys]
    change = log_odds(leaver.with_all)
    doubtful = sorted(
        (one for one in left if not one.reliable),
        key=lambda one: (-round(_most(change - log_odds(one.soiled)), 9), one.key),
    )
    anew = {one.key for one in doubtful[:most]} if rerun is not None else set()
    found: list[Contribution] = []
    for one in left:
        again = rerun is not None and one.key in anew
        soiled = rerun(one.key) if rerun is not None and again else one.soiled
        difference = change - log_odds(soiled)
        found += [
            Contribution(one.key, one.words, ids[i], float(difference[i]), one.reliable or again)
            for i in range(len(ids))
            if abs(difference[i]) >= LEAST
        ]
    return tuple(sorted(found, key=lambda one: (-abs(one.log_odds), one.inspection, one.void)))


def _most(change: Floats) -> float:
    """The greatest change of any void; zero where every void lies open already. [nat]"""
    return float(np.abs(change).max(initial=0.0))

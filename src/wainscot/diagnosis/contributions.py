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

from wainscot.arrays import Bytes, Floats, Ints
from wainscot.diagnosis.answer import Contribution
from wainscot.diagnosis.kernel import Population
from wainscot.diagnosis.pareto import TRUSTED, smooth
from wainscot.diagnosis.posterior import Sample, by_draw, conditional, weights
from wainscot.signs.evidence import Evidence, Statement, row_without

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


def _row_ratio(evidence: Evidence, v: int, key: str) -> tuple[Floats, Floats]:
    """Row sum without over with, [L, 3] [1], and the conditional soil without, [L, 3] [1]."""
    row = evidence.detail[evidence.row_of[v]]
    left = row_without(evidence, v, key)
    total = left.sum(axis=-1)
    ratio = total / np.maximum(row.sum(axis=-1), 1e-300)
    return ratio, 1.0 - left[..., 0] / np.maximum(total, 1e-300)


def _zone_chance(evidence: Evidence, z: int, reach: Bytes | None) -> Floats:
    """Chance of what a zone said: by draw [N], or by uniform reach [3] where ``reach`` is None."""
    span = slice(int(evidence.zone_offsets[z]), int(evidence.zone_offsets[z + 1]))
    hit = evidence.zone_hit[span]
    if reach is None:
        miss = np.prod(1.0 - hit, axis=0)
    else:
        members = evidence.zone_void[span]
        miss = np.prod(1.0 - hit[np.arange(len(members))[None, :], reach[:, members]], axis=1)
    silent = (1.0 - evidence.zone_false[z]) * miss
    chance = 1.0 - silent if evidence.zone_heard[z] else silent
    return np.asarray(np.maximum(chance, 1e-300))


def _log_ratio(sample: Sample, one: Population, gone: list[Statement]) -> tuple[Floats, float]:
    """Log weight of each draw without the statements, [N], and the greatest possible one."""
    evidence = sample.case.evidence
    logs = np.zeros(len(one.load))
    most = 0.0
    for v in sorted({int(v) for statement in gone for v in statement.voids}):
        ratio = np.log(np.maximum(_row_ratio(evidence, v, gone[0].key)[0], 1e-300))
        logs = logs + ratio[one.load, one.reach[:, v]]
        most += float(ratio.max())
    for statement in gone:
        if statement.zone >= 0:
            logs = logs - np.log(_zone_chance(evidence, statement.zone, one.reach))
            most -= float(np.log(_zone_chance(evidence, statement.zone, None).min()))
        if statement.source >= 0:
            by_state = -np.log(np.asarray(statement.by_state))
            e = int(sample.merged.group[statement.source])
            logs = logs + by_state[one.source[:, e]]
            most += float(by_state.max())
    return logs, most


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
        self.chunks: list[tuple[Sample, Population]] = []
        soiled: list[Floats] = []
        base: list[Floats] = []
        for sample, weight in zip(samples, weights(samples), strict=True):
            table = conditional(sample)["soiled"]
            for one, share in zip(sample.populations, weight, strict=True):
                self.chunks.append((sample, one))
                soiled.append(self._soiled(sample, one, table))
                base.append(np.full(len(one.load), np.log(max(share, 1e-300) / len(one.load))))
        self.soiled = np.concatenate(soiled)
        self.base = np.concatenate(base)
        self.with_all = np.exp(self.base) @ self.soiled

    def _soiled(self, sample: Sample, one: Population, table: Floats) -> Floats:
        mapped = sample.void_map[self.voids]
        inside = by_draw(table, sample.problem.row_of, one, np.maximum(mapped, 0))
        return np.asarray(np.where(mapped >= 0, inside, 0.0))

    def leave(self, key: str) -> LeftOut:
        """Return the chances without one inspection.

        Parameters
        ----------
        key : str
            Id of the inspection.
        """
        logs: list[Floats] = []
        soiled = self.soiled.copy()
        at, most, words = 0, 0.0, ""
        for sample, one in self.chunks:
            gone = [each for each in sample.case.evidence.statements if each.key == key]
            step = slice(at, at + len(one.load))
            at += len(one.load)
            if not gone:
                logs.append(np.zeros(len(one.load)))
                continue
            words = words or gone[0].words
            ratio, greatest = _log_ratio(sample, one, gone)
            logs.append(ratio)
            most = max(most, greatest)
            self._own_rows(sample, one, gone, soiled[step])
        ratio = np.concatenate(logs)
        smoothed, k = smooth(self.base + ratio)
        weight = np.exp(smoothed - smoothed.max())
        weight = weight / weight.sum()
        return LeftOut(key, words, weight @ soiled, k < TRUSTED and self._visited(ratio, most))

    def _own_rows(
        self, sample: Sample, one: Population, gone: list[Statement], soiled: Floats
    ) -> None:
        """Write what the rows of the inspection's own voids say without it."""
        evidence = sample.case.evidence
        mapped = sample.void_map[self.voids]
        for v in {int(v) for statement in gone for v in statement.voids}:
            for column in np.flatnonzero(mapped == v):
                table = _row_ratio(evidence, v, gone[0].key)[1]
                soiled[:, column] = table[one.load, one.reach[:, v]]

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
        key=lambda one: (-round(float(np.abs(change - log_odds(one.soiled)).max()), 9), one.key),
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

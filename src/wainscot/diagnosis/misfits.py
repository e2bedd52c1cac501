"""Signs that no drawn way in explains, and where to look for one.

A sign does not fit where it is more likely than not that no animal reached its place (look again
there), or where, reached, the place is mostly fed by ways in that nobody drew (look where the draws
put them).

Limits: says where the draws put the missing way in, which is no better than the drawn plan.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from wainscot.arrays import Ints
from wainscot.diagnosis.answer import Misfit
from wainscot.diagnosis.thin import Thin, components
from wainscot.signs.evidence import Statement

_MOSTLY = 0.5


def members(draws: Thin, statement: Statement) -> Ints:
    """Return the voids that a positive statement speaks of, in its case's graph.

    Parameters
    ----------
    draws : Thin
        Draws of the case.
    statement : Statement
        The statement.
    """
    evidence = draws.sample.case.evidence
    if statement.zone >= 0:
        span = slice(
            int(evidence.zone_offsets[statement.zone]),
            int(evidence.zone_offsets[statement.zone + 1]),
        )
        return evidence.zone_void[span]
    if statement.source >= 0:
        return np.zeros(0, dtype=np.int32)
    return np.array(statement.found_in(), dtype=np.int32)


class _Tally:
    """Counts over all draws for one inspection."""

    def __init__(self, words: str, own: list[str]) -> None:
        self.words = words
        self.own = own
        self.draws = 0
        self.reached = 0
        self.explained = 0
        self.near: Counter[str] = Counter()


def _count(draws: Thin, label: Ints, tally: _Tally, voids: Ints) -> None:
    problem = draws.sample.problem
    graph = draws.sample.case.graph
    reached = draws.reach[:, voids] > 0
    tally.draws += len(reached)
    active = draws.source > 0
    for t in np.flatnonzero(reached.any(axis=1)):
        tally.reached += 1
        parts = set(label[t, voids[reached[t]]].tolist())
        feeding = np.flatnonzero(active[t] & np.isin(label[t, problem.source_void], list(parts)))
        if problem.source_named[feeding].any():
            tally.explained += 1
        else:
            tally.near.update(graph.words[problem.source_void[e]] for e in feeding)


def misfits(draws: tuple[Thin, ...]) -> tuple[Misfit, ...]:
    """Return the signs that do not fit, by inspection.

    Parameters
    ----------
    draws : tuple of Thin
        Picked draws.
    """
    tallies: dict[str, _Tally] = {}
    for one in draws:
        label = components(one)
        statements = one.sample.case.evidence.statements
        for key in sorted({each.key for each in statements}):
            mine = [each for each in statements if each.key == key and each.positive]
            voids = np.unique(
                np.concatenate([np.zeros(0, np.int32), *(members(one, each) for each in mine)])
            )
            if len(voids):
                own = [one.sample.case.graph.words[v] for v in voids[:2]]
                tally = tallies.setdefault(key, _Tally(mine[0].words, own))
                _count(one, label, tally, voids)
    found: list[Misfit] = []
    for key, tally in sorted(tallies.items()):
        unreached = 1.0 - tally.reached / tally.draws
        unexplained = 1.0 - tally.explained / tally.reached if tally.reached else 1.0
        if unreached > _MOSTLY or unexplained > _MOSTLY:
            near = sorted(tally.near, key=lambda words: (-tally.near[words], words))[:2]
            if unreached > _MOSTLY or not near:
                near = tally.own
            found.append(Misfit(key, tally.words, " or ".join(near), unreached))
    return tuple(found)

"""Why each void stands where it stands: what every inspection does to it, and the way there.

    diagnosis, draws = diagnose(job, seed=1, why=True)
    draws.why.voids["kitchen/n1/bay/3"].way.words

An inspection is left out by reweighing the draws (``contributions``); those that the answer ran
anew keep their new draws.

Limits: worked out for the likeliest voids only (:data:`MOST`); one inspection at a time: two
that say the same each seem to add little.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.diagnosis.answer import Run, VoidAnswer
from wainscot.diagnosis.contributions import LEAST, Leaver, log_odds
from wainscot.diagnosis.posterior import Sample
from wainscot.diagnosis.runs import way_to_each
from wainscot.diagnosis.thin import Thin

MOST = 300
"""Hidden voids whose reasons are worked out, the likeliest first; a judgement on time."""


class Weighs(msgspec.Struct, frozen=True):
    """What one inspection does to one void."""

    inspection: str
    log_odds: float
    """Change of the log-odds of ``soiled`` by it. [nat]"""
    reliable: bool
    """False where the reweighing is too coarse to be trusted."""


class Why(msgspec.Struct, frozen=True):
    """The reasons of one void."""

    weighs: tuple[Weighs, ...]
    """The greatest first; below :data:`~wainscot.diagnosis.contributions.LEAST` left out."""
    way: Run | None
    """The likeliest way there; None where no draw reaches it."""


class Whys(msgspec.Struct, frozen=True):
    """The reasons of every void that they were worked out for."""

    words: dict[str, str]
    """What each inspection says, by its id."""
    found: dict[str, bool]
    """Whether it found anything, by its id."""
    voids: dict[str, Why]


def whys(
    samples: tuple[Sample, ...],
    picked: tuple[Thin, ...],
    voids: tuple[VoidAnswer, ...],
    anew: dict[str, Floats],
) -> Whys:
    """Return the reasons of the likeliest hidden voids.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws; the answer's graph is that of the first.
    picked : tuple of Thin
        A few hundred of the draws, for the ways.
    voids : tuple of VoidAnswer
        What we think, the likeliest first.
    anew : dict
        Chances of every void without an inspection, from new draws, where there are any. [1]
    """
    index = samples[0].case.graph.index()
    ids = [one.id for one in voids if one.hidden][:MOST]
    at = np.array([index[key] for key in ids], dtype=np.int32)
    statements = {
        one.key: one for sample in reversed(samples) for one in sample.case.evidence.statements
    }
    leaver = Leaver(samples, at)
    now = log_odds(leaver.with_all)
    weighs: dict[str, list[Weighs]] = {key: [] for key in ids}
    for key in sorted(statements):
        left = leaver.leave(key)
        soiled = anew[key][at] if key in anew else left.soiled
        reliable = left.reliable or key in anew
        for void, change in zip(ids, (now - log_odds(soiled)).tolist(), strict=True):
            if abs(change) >= LEAST:
                weighs[void].append(Weighs(key, change, reliable))
    ways = way_to_each(picked, ids)
    return Whys(
        words={key: one.words for key, one in sorted(statements.items())},
        found={key: one.positive for key, one in sorted(statements.items())},
        voids={
            key: Why(
                tuple(sorted(said, key=lambda one: (-abs(one.log_odds), one.inspection))),
                ways.get(key),
            )
            for key, said in weighs.items()
        },
    )

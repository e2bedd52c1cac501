"""The draws put together to the answer: every part of it, in words and numbers."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import numpy as np

from wainscot.arrays import Bools, Floats, Ints
from wainscot.book import Book
from wainscot.diagnosis import kernel
from wainscot.diagnosis.answer import Diagnosis, Hypothesis, VoidAnswer
from wainscot.diagnosis.bands import Outlook, band
from wainscot.diagnosis.cases import Case
from wainscot.diagnosis.contributions import Leaver, contributions
from wainscot.diagnosis.draws import Draws, digest_of, gather, no_draws
from wainscot.diagnosis.entries import answers
from wainscot.diagnosis.misfits import misfits
from wainscot.diagnosis.posterior import (
    Chances,
    Sample,
    pooled_chances,
    void_chances,
    weights,
    weights_settled,
)
from wainscot.diagnosis.reasons import Reasons
from wainscot.diagnosis.runs import likeliest
from wainscot.diagnosis.sampling import Effort, hypothesis, sample_cases
from wainscot.diagnosis.thin import thin
from wainscot.diagnosis.verdict import one_kind, verdict
from wainscot.diagnosis.why import whys
from wainscot.signs import without

INTEREST = 8
"""Voids for which contributions are worked out."""
ANEW, ANEW_LARGE = 5, 1
"""Inspections that are left out by new draws, at most, and in a large house; each costs a quarter
of the answer's time."""
UNSETTLED_SHARE = 0.05
"""More of the voids than this in disagreement, and the whole is not settled. [1]"""
_ON_A_RUN = 0.5
_MOST_SIGNS, _MOST_NESTS = 4, 2


class Frame(msgspec.Struct, frozen=True):
    """What goes with an answer besides the draws."""

    effort: Effort
    book: Book
    judged: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    why: bool = False
    """Whether each void's reasons are worked out too."""


def unsettled(chances: dict[str, Chances]) -> Bools:
    """Return the voids on which two halves of the populations disagree: [V]."""
    return np.asarray(~(chances["soiled"].settled & chances["now"].settled))


def is_settled(samples: tuple[Sample, ...], chances: dict[str, Chances]) -> bool:
    """Whether the answer as a whole may be taken as it stands."""
    off = unsettled(chances)
    share = float(off.mean()) if len(off) else 0.0
    return share <= UNSETTLED_SHARE and weights_settled(samples)


def _voids(
    samples: tuple[Sample, ...], chances: dict[str, Chances], reasons: Reasons, book: Book
) -> tuple[VoidAnswer, ...]:
    graph = samples[0].case.graph
    off = unsettled(chances)
    mean = {name: each.mean for name, each in chances.items()}
    found: list[VoidAnswer] = []
    for v, key in enumerate(graph.keys):
        light, heavy, nest = (float(mean[name][v]) for name in ("light only", "heavy only", "nest"))
        choice = band(Outlook(light, heavy, nest), book, hidden=bool(graph.hidden[v]))
        seen = reasons.seen_at(v)
        soiled = float(np.clip(mean["soiled"][v], 0.0, 1.0))
        found.append(
            VoidAnswer(
                id=key,
                label=graph.labels[v],
                kind=graph.kinds[v],
                words=graph.words[v],
                storey=graph.storeys[v],
                hidden=bool(graph.hidden[v]),
                soiled=soiled,
                soiled_error=float(chances["soiled"].error[v]),
                ever=float(np.clip(mean["ever"][v], 0.0, 1.0)),
                now=float(np.clip(mean["now"][v], 0.0, 1.0)),
                now_error=float(chances["now"].error[v]),
                heavy=float(np.clip(mean["heavy"][v], 0.0, 1.0)),
                nest=float(np.clip(nest, 0.0, 1.0)),
                band="seen" if seen else "can't tell yet" if off[v] else choice,
                reason=reasons.of(v, soiled),
                looked=float(reasons.looked[v]),
                seen=seen,
                halves=(
                    float(chances["soiled"].halves[0, v]),
                    float(chances["soiled"].halves[1, v]),
                ),
                settled=not off[v],
            )
        )
    return tuple(sorted(found, key=lambda one: (-round(one.soiled, 9), one.id)))


def _targets(samples: tuple[Sample, ...], voids: tuple[VoidAnswer, ...]) -> list[str]:
    """Voids to look for runs to: with a find, else the likeliest nests."""
    case = samples[0].case
    with_find = {
        case.graph.keys[v]
        for one in case.evidence.statements
        if one.positive
        for v in one.found_in()
    }
    signs = [one.id for one in voids if one.id in with_find and one.ever >= _ON_A_RUN]
    signs = signs[:_MOST_SIGNS]
    nests = sorted((one for one in voids if one.hidden), key=lambda one: (-one.nest, one.id))
    nests = nests[:_MOST_NESTS]
    return [
        *signs,
        *(one.id for one in nests if one.id not in signs and one.ever >= _ON_A_RUN),
    ]


def _interest(voids: tuple[VoidAnswer, ...], index: dict[str, int]) -> tuple[tuple[str, ...], Ints]:
    """The likeliest hidden voids that nobody has opened yet."""
    ids = tuple(one.id for one in voids if one.hidden and not one.seen)[:INTEREST]
    return ids, np.array([index[key] for key in ids], dtype=np.int32)


class _Reruns:
    """New draws without one inspection, each taken once; fewer than the answer's."""

    def __init__(self, samples: tuple[Sample, ...], effort: Effort) -> None:
        self.samples = samples
        self.effort = msgspec.structs.replace(effort, draws=max(256, effort.draws // 4))
        self.soiled: dict[str, Floats] = {}

    def of(self, interest: Ints) -> Callable[[str], Floats]:
        """Return what gives the chances of some voids without an inspection. [1]"""

        def rerun(key: str) -> Floats:
            if key not in self.soiled:
                self.soiled[key] = self._anew(key)
            return np.asarray(self.soiled[key][interest])

        return rerun

    def _anew(self, key: str) -> Floats:
        left = tuple(
            msgspec.structs.replace(one.case, evidence=without(one.case.evidence, key))
            for one in self.samples
        )
        again = sample_cases(left, self.effort, f"without {key}", None)
        return void_chances(again)["soiled"].mean


def _hypotheses(
    samples: tuple[Sample, ...], dropped: tuple[Hypothesis, ...]
) -> tuple[Hypothesis, ...]:
    shares = [float(each.sum()) for each in weights(samples)]
    left = 1.0 - sum(one.weight for one in dropped)
    drawn = (hypothesis(one, share * left) for one, share in zip(samples, shares, strict=True))
    return tuple(sorted((*drawn, *dropped), key=lambda one: (-one.weight, one.species, one.guess)))


def _anywhere(samples: tuple[Sample, ...]) -> tuple[float, float]:
    """Chances that any void at all is reached: ever, and now."""

    def reached(_: Sample, one: kernel.Population) -> Floats:
        most = one.reach.max(axis=1)
        return np.stack([most > 0, most == 2], axis=1).astype(np.float64)

    ever, now = pooled_chances(samples, reached).mean.tolist()
    return ever, now


def answer(
    samples: tuple[Sample, ...],
    dropped: tuple[Hypothesis, ...],
    chances: dict[str, Chances],
    frame: Frame,
) -> tuple[Diagnosis, Draws]:
    """Return the answer and its draws.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws; the answer's graph is that of the first.
    dropped : tuple of Hypothesis
        Cases that weigh too little.
    chances : dict
        Chances of every void, from :func:`~wainscot.diagnosis.posterior.void_chances`.
    frame : Frame
        What goes with the answer.
    """
    case = samples[0].case
    settled = is_settled(samples, chances)
    entries = answers(samples)
    reasons = Reasons(case.graph, case.evidence, entries)
    voids = _voids(samples, chances, reasons, frame.book)
    picked = thin(samples)
    unexplained = misfits(picked)
    ids, interest = _interest(voids, case.graph.index())
    hypotheses = _hypotheses(samples, dropped)
    reruns = _Reruns(samples, frame.effort)
    ever, now = _anywhere(samples)
    diagnosis = Diagnosis(
        verdict=verdict(
            voids, entries, hypotheses, unexplained, ever=ever, now=now, settled=settled
        ),
        settled=settled,
        voids=voids,
        entries=entries,
        runs=likeliest(picked, _targets(samples, voids)),
        contributions=contributions(
            Leaver(samples, interest),
            ids,
            reruns.of(interest),
            most=ANEW if len(voids) <= frame.effort.in_turns_above else ANEW_LARGE,
        ),
        misfits=unexplained,
        hypotheses=hypotheses,
        unplaced=case.evidence.unplaced,
        assumptions=(*one_kind(hypotheses), *case.assumptions),
        judged=frame.judged,
        cautions=frame.cautions,
        draws=sum(len(one.load) for sample in samples for one in sample.populations),
        seed=frame.effort.seed,
        module=samples[0].populations[0].module_digest,
        digest=digest_of(samples),
    )
    drawn = gather(samples, settled, chances["soiled"].error)
    if frame.why:
        said = whys(samples, picked, voids, reruns.soiled)
        drawn = msgspec.structs.replace(drawn, why=said)
    return diagnosis, drawn


def nothing_drawn(found: tuple[Case, ...], frame: Frame) -> tuple[Diagnosis, Draws]:
    """Return the answer for a job without a single void: nothing can be weighed.

    Parameters
    ----------
    found : tuple of Case
        The cases.
    frame : Frame
        What goes with the answer.
    """
    case = found[0]
    diagnosis = Diagnosis(
        verdict=verdict((), (), (), (), ever=0.0, now=0.0, settled=True),
        settled=None,
        voids=(),
        entries=(),
        runs=(),
        contributions=(),
        misfits=(),
        hypotheses=tuple(Hypothesis(one.species, one.guess, one.prior, 0.0) for one in found),
        unplaced=case.evidence.unplaced,
        assumptions=case.assumptions,
        judged=frame.judged,
        cautions=frame.cautions,
        draws=0,
        seed=frame.effort.seed,
        module=kernel.load_module()[2],
        digest=digest_of(()),
    )
    return diagnosis, no_draws()

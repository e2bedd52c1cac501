"""Graph and evidence to the answer: where animals are or were, how they came in, how sure we are.

    diagnosis, draws = diagnose(job, seed=1)

Every case (framing guess x species) is drawn from by the kernel, a little at first and in full
where it counts; cases are weighed by prior and evidence.  The result depends on the job and the
seed, not on the number of threads nor on the order of anything in the file.

Limits: see the modules of the parts; the whole is only as good as the judged rates it names.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable

import msgspec
import numpy as np

from wainscot.arrays import Floats, Ints
from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.diagnosis import kernel
from wainscot.diagnosis.answer import Diagnosis, Hypothesis, VoidAnswer
from wainscot.diagnosis.bands import Outlook, band
from wainscot.diagnosis.cases import Case, cases
from wainscot.diagnosis.cautions import cautions
from wainscot.diagnosis.contributions import Leaver, contributions
from wainscot.diagnosis.draws import Draws, digest_of, gather, log_evidence, no_draws
from wainscot.diagnosis.entries import answers
from wainscot.diagnosis.mapping import source_map, void_map
from wainscot.diagnosis.misfits import misfits
from wainscot.diagnosis.posterior import (
    Chances,
    Sample,
    pooled_chances,
    void_chances,
    weights,
    weights_settled,
)
from wainscot.diagnosis.problem import make
from wainscot.diagnosis.reasons import Reasons
from wainscot.diagnosis.runs import likeliest
from wainscot.diagnosis.thin import thin
from wainscot.diagnosis.verdict import verdict
from wainscot.job import Job
from wainscot.signs import DEFAULT, Rates
from wainscot.signs.evidence import without

Progress = Callable[[float], None]

PILOT_DRAWS = 512
PILOT_POPULATIONS = 2
KEPT_WEIGHT = 0.01
"""Cases below this weight are not drawn from in full. [1]"""
CHAIN_LENGTH = 8
_ON_A_RUN = 0.5
INTEREST = 8
"""Voids for which contributions are worked out."""
UNSETTLED_SHARE = 0.05
"""More of the hidden voids than this in disagreement, and the whole is not settled. [1]"""


class Effort(msgspec.Struct, frozen=True):
    """How much to draw."""

    seed: int
    populations: int
    draws: int
    threads: int | None = None

    @property
    def chains(self) -> int:
        """Chains of one population."""
        return max(4, self.draws // (self.populations * CHAIN_LENGTH))


def diagnose(
    job: Job,
    *,
    seed: int,
    populations: int = 8,
    draws: int = 4096,
    threads: int | None = None,
    progress: Progress | None = None,
    book: Book = DEFAULT_BOOK,
    rates: Rates = DEFAULT,
) -> tuple[Diagnosis, Draws]:
    """Return what we think about a job, and the draws behind it.

    Parameters
    ----------
    job : Job
        A job without faults.
    seed : int
        Seed of all random numbers.
    populations : int
        Independent populations for each case.
    draws : int
        Draws in all populations of one case together.
    threads : int, optional
        Populations worked on at once; changes nothing but the time.
    progress : callable, optional
        Called now and then with the share of the work that is done. [1]
    book : Book, optional
        The firm's rates, for the bands.
    rates : Rates, optional
        The rates of the signs.

    Raises
    ------
    KernelError
        If the numeric core is missing or refuses the problem.
    """
    found = cases(job, rates=rates)
    graph = found[0].graph
    largest = float(graph.volume[graph.hidden].max(initial=0.0))
    return weigh_cases(
        found,
        effort=Effort(seed, populations, draws, threads),
        progress=progress,
        book=book,
        judged=rates.judged,
        cautions=cautions(job, largest),
    )


def weigh_cases(
    found: tuple[Case, ...],
    *,
    effort: Effort,
    progress: Progress | None = None,
    book: Book = DEFAULT_BOOK,
    judged: tuple[str, ...] = (),
    cautions: tuple[str, ...] = (),
) -> tuple[Diagnosis, Draws]:
    """Return the answer for cases that are already built.

    Parameters
    ----------
    found : tuple of Case
        The cases; their order changes nothing.
    effort : Effort
        How much to draw.
    progress : callable, optional
        Called with the share of the work that is done. [1]
    book : Book, optional
        The firm's rates.
    judged, cautions : tuple of str
        What to print with the answer.
    """
    found = tuple(sorted(found, key=lambda case: (-case.prior, case.guess, case.species)))
    if not found[0].graph.keys:
        return _nothing_drawn(found, effort, judged, cautions)
    kept, dropped = _worth_drawing(found, effort, progress)
    samples = sample_cases(kept, effort, "full", progress)
    chances = void_chances(samples)
    if not _settled(samples, chances):
        more = msgspec.structs.replace(effort, draws=4 * effort.draws)
        samples = sample_cases(kept, more, "again", progress)
        chances = void_chances(samples)
    return _answer(samples, dropped, chances, effort, book, judged, cautions)


def _nothing_drawn(
    found: tuple[Case, ...], effort: Effort, judged: tuple[str, ...], cautions: tuple[str, ...]
) -> tuple[Diagnosis, Draws]:
    """The answer for a job without a single void: what was logged is kept, nothing is weighed."""
    case = found[0]
    diagnosis = Diagnosis(
        verdict=verdict((), (), (), (), ever=0.0, now=0.0, settled=True),
        settled=True,
        voids=(),
        entries=(),
        runs=(),
        contributions=(),
        misfits=(),
        hypotheses=tuple(Hypothesis(one.species, one.guess, one.prior, 0.0) for one in found),
        unplaced=case.evidence.unplaced,
        assumptions=case.assumptions,
        judged=judged,
        cautions=cautions,
        draws=0,
        seed=effort.seed,
        module=kernel.load_module()[2],
        digest=digest_of(()),
    )
    return diagnosis, no_draws()


def _stream(seed: int, *names: str) -> int:
    """Seed of one run of the kernel; does not depend on the order of the cases."""
    text = "\n".join((str(seed), *names))
    return int.from_bytes(hashlib.sha256(text.encode("utf-8")).digest()[:8], "little")


def sample_cases(
    found: tuple[Case, ...], effort: Effort, stage: str, progress: Progress | None
) -> tuple[Sample, ...]:
    """Return each case with its draws.

    Parameters
    ----------
    found : tuple of Case
        The cases; the first one's graph is the answer's.
    effort : Effort
        How much to draw.
    stage : str
        Name of the stage, so that each has random numbers of its own.
    progress : callable or None
        Called with the share of the work that is done. [1]
    """
    samples: list[Sample] = []
    for k, case in enumerate(found):
        problem, merged = make(case.graph, case.evidence)
        populations = kernel.run(
            problem,
            seed=_stream(effort.seed, stage, case.species, case.guess),
            populations=effort.populations,
            chains=effort.chains,
            length=CHAIN_LENGTH,
            threads=effort.threads,
            progress=_part(progress, k, len(found)),
        )
        samples.append(
            Sample(
                case,
                problem,
                merged,
                tuple(populations),
                void_map(found[0].graph, case.graph),
                source_map(found[0].graph, case.graph),
            )
        )
    return tuple(samples)


def _part(progress: Progress | None, k: int, of: int) -> Progress | None:
    if progress is None:
        return None
    report = progress
    return lambda share: report((k + share) / of)


def _worth_drawing(
    found: tuple[Case, ...], effort: Effort, progress: Progress | None
) -> tuple[tuple[Case, ...], tuple[Hypothesis, ...]]:
    """Cases that may weigh more than the bound, the likeliest first, and the others as weighed."""
    if len(found) == 1:
        return found, ()
    pilot = Effort(effort.seed, PILOT_POPULATIONS, min(PILOT_DRAWS, effort.draws), effort.threads)
    samples = sample_cases(found, pilot, "pilot", progress)
    weight = [float(each.sum()) for each in weights(samples)]
    # Two standard errors of doubt about a case's evidence count in its favour.
    doubt = [
        np.exp(2.0 * max(one.log_evidence_se for one in sample.populations)) for sample in samples
    ]
    order = sorted(range(len(found)), key=lambda k: (-round(weight[k], 9), k))
    keep = [k for k in order if weight[k] * doubt[k] > KEPT_WEIGHT]
    dropped = tuple(_hypothesis(samples[k], weight[k]) for k in order if k not in keep)
    return tuple(found[k] for k in keep), dropped


def _hypothesis(sample: Sample, weight: float) -> Hypothesis:
    case = sample.case
    return Hypothesis(case.species, case.guess, weight, log_evidence(sample))


def _unsettled(chances: dict[str, Chances]) -> np.ndarray:
    return np.asarray(~(chances["soiled"].settled & chances["now"].settled))


def _settled(samples: tuple[Sample, ...], chances: dict[str, Chances]) -> bool:
    off = _unsettled(chances)
    share = float(off.mean()) if len(off) else 0.0
    return share <= UNSETTLED_SHARE and weights_settled(samples)


def _voids(
    samples: tuple[Sample, ...], chances: dict[str, Chances], reasons: Reasons, book: Book
) -> tuple[VoidAnswer, ...]:
    graph = samples[0].case.graph
    off = _unsettled(chances)
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
    nests = sorted((one for one in voids if one.hidden), key=lambda one: (-one.nest, one.id))
    return [
        *signs[:4],
        *(one.id for one in nests[:2] if one.id not in signs[:4] and one.ever >= _ON_A_RUN),
    ]


def _interest(voids: tuple[VoidAnswer, ...], index: dict[str, int]) -> tuple[tuple[str, ...], Ints]:
    ids = tuple(one.id for one in voids if one.hidden)[:INTEREST]
    return ids, np.array([index[key] for key in ids], dtype=np.int32)


def _rerun(samples: tuple[Sample, ...], effort: Effort, interest: Ints) -> Callable[[str], Floats]:
    less = msgspec.structs.replace(effort, draws=max(256, effort.draws // 4))

    def rerun(key: str) -> Floats:
        left = tuple(
            msgspec.structs.replace(one.case, evidence=without(one.case.evidence, key))
            for one in samples
        )
        again = sample_cases(left, less, f"without {key}", None)
        return np.asarray(void_chances(again)["soiled"].mean[interest])

    return rerun


def _anywhere(samples: tuple[Sample, ...], least: int) -> float:
    """Chance that any void at all is reached (1: ever, 2: now)."""

    def reached(_: Sample, one: kernel.Population) -> Floats:
        return np.asarray((one.reach >= least).any(axis=1), dtype=np.float64)

    return float(pooled_chances(samples, reached).mean[0])


def _answer(
    samples: tuple[Sample, ...],
    dropped: tuple[Hypothesis, ...],
    chances: dict[str, Chances],
    effort: Effort,
    book: Book,
    judged: tuple[str, ...],
    cautions: tuple[str, ...],
) -> tuple[Diagnosis, Draws]:
    case = samples[0].case
    settled = _settled(samples, chances)
    entries = answers(samples)
    reasons = Reasons(case.graph, case.evidence, entries)
    voids = _voids(samples, chances, reasons, book)
    picked = thin(samples)
    unexplained = misfits(picked)
    ids, interest = _interest(voids, case.graph.index())
    shares = [float(each.sum()) for each in weights(samples)]
    left_over = 1.0 - sum(one.weight for one in dropped)
    hypotheses = (
        *(_hypothesis(one, share * left_over) for one, share in zip(samples, shares, strict=True)),
        *dropped,
    )
    ever, now = (_anywhere(samples, least) for least in (1, 2))
    diagnosis = Diagnosis(
        verdict=verdict(
            voids, entries, hypotheses, unexplained, ever=ever, now=now, settled=settled
        ),
        settled=settled,
        voids=voids,
        entries=entries,
        runs=likeliest(picked, _targets(samples, voids)),
        contributions=contributions(
            Leaver(samples, interest), ids, _rerun(samples, effort, interest)
        ),
        misfits=unexplained,
        hypotheses=tuple(sorted(hypotheses, key=lambda one: (-one.weight, one.species, one.guess))),
        unplaced=case.evidence.unplaced,
        assumptions=case.assumptions,
        judged=judged,
        cautions=cautions,
        draws=sum(len(one.load) for sample in samples for one in sample.populations),
        seed=effort.seed,
        module=samples[0].populations[0].module_digest,
        digest=digest_of(samples),
    )
    return diagnosis, gather(samples, settled, chances["soiled"].error)

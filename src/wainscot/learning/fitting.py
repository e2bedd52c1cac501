"""Rates of the signs from closed jobs: the judged value is where it starts and what it shrinks to.

Each rate stands on the scale of log odds as a normal with the judged value in the middle and the
spread ``SPREAD``.  What a job says of all rates together is the likelihood of *everything that was
logged in it*, looks in vain, finds and opened bays alike, with what nobody saw summed out by the
draws of its diagnosis.

Why suspicion does no harm.  Bays are opened because of what was logged before.  Counting "of the
soiled bays that were opened, in how many had the look shown it" then flatters the look, for bays in
which it showed nothing were rarely opened (verification bias, Begg & Greenes 1983).  Here the looks
that led nowhere count as well, and given everything that was logged the choice of the bay says
nothing more of what lies in it, so that it may be left out of the likelihood (Rubin 1976).  What
would break this is a reason to open that nobody logged; openings without suspicion (control bays)
guard against that.

Gradient and curvature come from the draws (Fisher's and Louis's identities): the gradient is the
mean score of a draw, the observed information is the mean curvature less the covariance of the
scores.  A few Newton steps lead to the most probable rates; after each, the jobs are drawn from
anew under the new rates.

Sources, all from memory: Begg & Greenes 1983, Biometrics 39:207; Rubin 1976, Biometrika 63:581;
Louis 1982, J. R. Stat. Soc. B 44:226.

Limits: normal on the scale of log odds; curvature across two rates of one look is taken from the
draws alone; passages, ways in, and how animals spread stay as judged, so that what is wrong there
is laid at the door of the signs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.diagnosis.cases import Case, cases
from wainscot.diagnosis.posterior import weights
from wainscot.diagnosis.reweigh import log_ratio
from wainscot.diagnosis.sampling import Effort, sample_cases, worth_drawing
from wainscot.diagnosis.variants import Drawn, alike, join
from wainscot.job import Job
from wainscot.signs import DEFAULT, Rates, again
from wainscot.signs.learnt import chance_at, chance_of, factor_of, learnable, log_odds, moved
from wainscot.signs.scaling import RateName
from wainscot.sources import Cited, judged

SPREAD: Cited = judged(
    0.7, "log odds", "two times in three a judged rate is right within a factor of two of its odds"
)
"""Standard deviation of a judged rate's log odds before any job was closed. [1]"""
STEP = 0.1
"""Of the differences that give scores and curvatures. [log odds]"""
STEPS, FARTHEST = 4, 1.0
"""Newton steps, and the most that one may move a rate. [log odds]"""
Z = 1.959963984540054
"""Standard normal quantile of a two-sided interval of 95 %. [1]"""
Progress = Callable[[float], None]


class Learnt(msgspec.Struct, frozen=True):
    """One rate before and after; all are pure numbers. [1]"""

    rate: str
    """In words: ``borescope: notices droppings``."""
    judged: float
    before: tuple[float, float]
    """95 % interval of the judged value."""
    learnt: float
    after: tuple[float, float]
    """95 % interval of the learnt value."""
    told: float
    """Share of the doubt that the jobs took away; 0 where they say nothing."""
    factor: float
    """What the judged rate is multiplied by."""
    jobs: int
    """Jobs that say anything of it."""


class Learning(msgspec.Struct, frozen=True):
    """What the jobs taught."""

    rates: tuple[Learnt, ...]
    """Those that any job says something of, the most told first."""
    jobs: int
    last_step: float
    """Largest move of the last Newton step; small where it has settled. [1]"""


def learn(
    jobs: Sequence[Job],
    *,
    seed: int = 1,
    draws: int = 2048,
    populations: int = 8,
    threads: int | None = None,
    rates: Rates = DEFAULT,
    names: Sequence[RateName] = (),
    spread: float = SPREAD.value,
    steps: int = STEPS,
    progress: Progress | None = None,
) -> Learning:
    """Return the judged rates as closed jobs would have them.

    Parameters
    ----------
    jobs : sequence of Job
        Jobs without faults, as they stood when their bays had been opened.
    seed, draws, populations, threads
        Of the diagnoses.
    rates : Rates, optional
        The rates as judged.
    names : sequence of RateName, optional
        Rates to learn; all that opened bays can tell of if empty.
    spread : float, optional
        Standard deviation of a judged rate's log odds. [1]
    steps : int
        Newton steps.
    progress : callable, optional
        Called with the share of the work that is done. [1]
    """
    names = tuple(names) or learnable(rates)
    shift = np.zeros(len(names))
    precision = np.eye(len(names)) / spread**2
    found = _Told(np.zeros(len(names)), np.zeros_like(precision), np.zeros(len(names), dtype=int))
    last = 0.0
    for n in range(steps if jobs else 0):
        now = moved(rates, dict(zip(names, shift.tolist(), strict=True)))
        found = _Told(*map(np.zeros_like, found))
        for k, job in enumerate(jobs):
            effort = Effort(seed + k, populations, draws, threads)
            found = found.plus(_job(job, effort, now, names))
            if progress is not None:
                progress((n * len(jobs) + k + 1) / (steps * len(jobs)))
        curved = _positive(found.information + precision, 0.5 / spread**2)
        move = np.linalg.solve(curved, found.gradient - precision @ shift)
        move = np.clip(move, -FARTHEST, FARTHEST)
        shift, last = shift + move, float(np.abs(move).max(initial=0.0))
    spreads = np.sqrt(np.diag(np.linalg.inv(_positive(found.information + precision,
                                                      0.5 / spread**2))))  # fmt: skip
    said = [
        _learnt(rates, name, float(shift[a]), min(float(spreads[a]), spread), spread,
                int(found.jobs[a]))
        for a, name in enumerate(names) if found.jobs[a]
    ]  # fmt: skip
    said.sort(key=lambda one: (-round(one.told, 6), one.rate))
    return Learning(tuple(said), len(jobs), last)


def _learnt(
    rates: Rates, name: RateName, shift: float, after: float, before: float, jobs: int
) -> Learnt:
    middle = log_odds(chance_of(rates, name))

    def interval(at: float, spread: float) -> tuple[float, float]:
        return chance_at(at - Z * spread), chance_at(at + Z * spread)

    return Learnt(
        rate=name.words,
        judged=chance_of(rates, name),
        before=interval(middle, before),
        learnt=chance_at(middle + shift),
        after=interval(middle + shift, after),
        told=max(0.0, 1.0 - (after / before) ** 2),
        factor=factor_of(rates, name, shift),
        jobs=jobs,
    )


class _Told(NamedTuple):
    """What jobs say of R rates at the rates as they stand."""

    gradient: Floats
    """[R] of the log likelihood."""
    information: Floats
    """[R, R] observed information."""
    jobs: Floats
    """[R] how many say anything of each rate."""

    def plus(self, other: _Told) -> _Told:
        return _Told(*(a + b for a, b in zip(self, other, strict=True)))


def _job(job: Job, effort: Effort, rates: Rates, names: Sequence[RateName]) -> _Told:
    """Return what one job says at the rates as they stand."""
    parts = _drawn(cases(job, rates=rates), effort)
    weight = np.exp(np.concatenate([one.base for one in parts]))
    weight = weight / weight.sum()
    score, curve = np.zeros((len(weight), len(names))), np.zeros((len(weight), len(names)))
    for a, name in enumerate(names):
        sides = [_sided(parts, moved(rates, {name: side})) for side in (-STEP, STEP)]
        if sides[0] is None and sides[1] is None:
            continue
        less, more = (np.zeros(len(weight)) if one is None else one for one in sides)
        score[:, a] = (more - less) / (2.0 * STEP)
        curve[:, a] = (more + less) / STEP**2
    mean = weight @ score
    off = score - mean
    information = -np.diag(weight @ curve) - (off * weight[:, None]).T @ off
    return _Told(mean, information, (score != 0.0).any(axis=0).astype(int))


def _drawn(found: tuple[Case, ...], effort: Effort) -> list[Drawn]:
    kept, _ = worth_drawing(found, effort, None)
    samples = sample_cases(kept, effort, "learning", None)
    return [join(sample, weight, 1)
            for sample, weight in zip(samples, weights(samples), strict=True)]  # fmt: skip


def _sided(parts: list[Drawn], rates: Rates) -> Floats | None:
    """Return the log likelihood of each draw under other rates, less that as it stands: [N]."""
    others = [again(one.sample.case.evidence, rates) for one in parts]
    if all(alike(one.sample.case.evidence, other)
           for one, other in zip(parts, others, strict=True)):  # fmt: skip
        return None
    return np.concatenate([
        log_ratio(one.sample, one.population, other)[0]
        for one, other in zip(parts, others, strict=True)
    ])  # fmt: skip


def _positive(matrix: Floats, least: float) -> Floats:
    """Return a matrix with no eigenvalue below a bound; noise of the draws may sink one."""
    values, vectors = np.linalg.eigh((matrix + matrix.T) / 2.0)
    return np.asarray((vectors * np.maximum(values, least)) @ vectors.T)

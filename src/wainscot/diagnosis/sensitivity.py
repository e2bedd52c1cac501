"""What would change if a judged rate were off by two: each halved and doubled in turn.

Nearly every rate by which a sign speaks is judged.  This says which of them matter for one job: the
bands that would change, the next check that would, and the chance that moves most.

    result = sensitivity(job, seed=1)
    print("\\n".join(lines(result)))

The draws are taken once and reweighed under the changed evidence (``diagnosis.reweigh``); where
their weights are too uneven (Pareto k above 0.7), the kernel runs anew with the changed rate.

What the next check is belongs to a later step, so it comes as a function of draws and rates::

    sensitivity(job, seed=1, next_check=lambda draws, rates: first_of(next_checks(job, draws, ...)))

Limits: one rate at a time; rates of passages and ways in are not among them; cases that a small
pilot left out stay out.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.chance import percent
from wainscot.diagnosis.bands import Outlook, band
from wainscot.diagnosis.cases import Case, cases
from wainscot.diagnosis.draws import Draws, gather
from wainscot.diagnosis.pareto import EFFECTIVE, TRUSTED, effective, smooth
from wainscot.diagnosis.posterior import Sample, void_chances, weights
from wainscot.diagnosis.reweigh import log_ratio
from wainscot.diagnosis.sampling import Effort, Progress, sample_cases, worth_drawing
from wainscot.diagnosis.variants import FIELDS, alike, join, redraw, thinned, values_under
from wainscot.job import Job
from wainscot.signs import DEFAULT, Evidence, Rates, again
from wainscot.signs.scaling import RateName, judged_rates, scaled

NextCheck = Callable[[Draws, Rates], str]
"""Names the next check in words, from draws and the rates they were weighed with."""

FACTORS = (0.5, 2.0)
MOST_DRAWS = 4096
"""More draws than this are thinned: errors are common to both sides of a comparison."""
TOLD = 0.005
"""Rates that move no chance by this much change nothing worth telling. [1]"""
RERUN_ERRORS = 3.0
"""After a new run, a band only counts as changed beyond so many standard errors."""


class BandChange(msgspec.Struct, frozen=True):
    """A void whose band would be another one."""

    void: str
    label: str
    words: str
    was: str
    would_be: str


class Effect(msgspec.Struct, frozen=True):
    """What one rate would change if it were off."""

    rate: str
    """In words: ``droppings: false alarms``."""
    factor: float
    """What it was multiplied by. [1]"""
    bands: tuple[BandChange, ...]
    next_check: str
    """The next check it would be; empty where it stays the same."""
    moved: float
    """Greatest change of any hidden void's chance of soil. [1]"""
    void: str
    """Words of that void."""
    chance: tuple[float, float]
    """Its chance before and after. [1]"""
    rerun: bool
    """True where the draws could not be reweighed and were taken anew."""


class Sensitivity(msgspec.Struct, frozen=True):
    """Every rate that changes something, the most telling first."""

    effects: tuple[Effect, ...]
    next_check: str
    """The next check as judged; empty where it was not asked for."""
    rates: int
    """Judged rates that were tried."""
    silent: int
    """Of these, how many move no chance by more than half a point either way."""
    draws: int


def sensitivity(
    job: Job,
    *,
    seed: int,
    populations: int = 8,
    draws: int = 4096,
    threads: int | None = None,
    book: Book = DEFAULT_BOOK,
    rates: Rates = DEFAULT,
    next_check: NextCheck | None = None,
    progress: Progress | None = None,
) -> Sensitivity:
    """Return what each judged rate of the signs would change if it were halved or doubled.

    Parameters
    ----------
    job : Job
        A job without faults.
    seed : int
        Seed of all random numbers.
    populations, draws : int
        As in :func:`wainscot.diagnosis.diagnose`.
    threads : int, optional
        Populations worked on at once; changes nothing but the time.
    book : Book, optional
        The firm's rates, for the bands.
    rates : Rates, optional
        The rates as judged.
    next_check : callable, optional
        Names the next check; without it that is left out.
    progress : callable, optional
        Called with the share of the work that is done. [1]

    Raises
    ------
    KernelError
        If the numeric core is missing or refuses the problem.
    """
    effort = Effort(seed, populations, draws, threads)
    return of_cases(
        cases(job, rates=rates), effort=effort, book=book, rates=rates,
        next_check=next_check, progress=progress,
    )  # fmt: skip


def of_cases(
    found: tuple[Case, ...],
    *,
    effort: Effort,
    book: Book = DEFAULT_BOOK,
    rates: Rates = DEFAULT,
    next_check: NextCheck | None = None,
    progress: Progress | None = None,
) -> Sensitivity:
    """Return the same for cases that are already built.

    Parameters
    ----------
    found : tuple of Case
        The cases; their order changes nothing.
    effort : Effort
        How much to draw.
    book, rates, next_check, progress
        As in :func:`sensitivity`.
    """
    names = judged_rates(rates)
    found = tuple(sorted(found, key=lambda case: (-case.prior, case.guess, case.species)))
    if not found[0].graph.keys:
        return Sensitivity((), "", len(names), len(names), 0)
    kept, _ = worth_drawing(found, effort, None)
    trial = Trial(sample_cases(kept, effort, "full", None), effort, book, rates, next_check)
    effects: list[Effect] = []
    silent = 0
    for n, name in enumerate(names):
        told = [trial.effect(name, factor) for factor in FACTORS]
        effects += [one for one in told if one is not None]
        silent += all(one is None for one in told)
        if progress is not None:
            progress((n + 1) / len(names))
    effects.sort(
        key=lambda one: (-bool(one.next_check), -len(one.bands), -round(one.moved, 9), one.rate)
    )
    return Sensitivity(
        tuple(effects), trial.next_now, len(names), silent, sum(len(one.base) for one in trial.all)
    )


MOST_TRIED = 6
"""How many rates are told of one void, those that move it most; more fit no screen."""
LEAST_MOVED = 0.005
"""A rate that moves a chance by less is not told of it. [1]"""


class Tried(msgspec.Struct, frozen=True):
    """One judged rate at half or double, and what a void's chance of soil would be then."""

    rate: str
    """The rate, and which way it is off."""
    chance: float
    """[1]"""


class Range(msgspec.Struct, frozen=True):
    """How far one void's chance of soil moves if any one judged rate is off by two. [1]"""

    low: float
    high: float
    lowest_by: str
    """The rate that brings it down to ``low``, and which way it is off; empty where none does."""
    highest_by: str
    tried: tuple[Tried, ...] = ()
    """Each rate that moves it, the one that moves it most first."""


def ranges(
    job: Job,
    *,
    seed: int,
    populations: int = 8,
    draws: int = 4096,
    threads: int | None = None,
    rates: Rates = DEFAULT,
    progress: Progress | None = None,
) -> dict[str, Range]:
    """Return the range of every hidden void by its id: each judged rate halved and doubled in turn.

    Parameters
    ----------
    job : Job
        A job without faults.
    seed, populations, draws, threads, rates, progress
        As in :func:`sensitivity`.
    """
    effort = Effort(seed, populations, draws, threads)
    return ranges_of_cases(cases(job, rates=rates), effort=effort, rates=rates, progress=progress)


def ranges_of_cases(
    found: tuple[Case, ...],
    *,
    effort: Effort,
    rates: Rates = DEFAULT,
    progress: Progress | None = None,
) -> dict[str, Range]:
    """Return the same for cases that are already built.

    Parameters
    ----------
    found : tuple of Case
        The cases; their order changes nothing.
    effort : Effort
        How much to draw.
    rates, progress
        As in :func:`sensitivity`.
    """
    found = tuple(sorted(found, key=lambda case: (-case.prior, case.guess, case.species)))
    if not found[0].graph.keys:
        return {}
    kept, _ = worth_drawing(found, effort, None)
    trial = Trial(sample_cases(kept, effort, "full", None), effort, DEFAULT_BOOK, rates, None)
    names = judged_rates(rates)
    said, tried = [""], [_soiled(trial.outlook)]
    for n, name in enumerate(names):
        for factor in FACTORS:
            under = trial.under(name, factor)
            if under is not None:
                said.append(f"{name.words}, {_HOW[factor]}")
                tried.append(_soiled(under.outlook))
        if progress is not None:
            progress((n + 1) / len(names))
    table = np.stack(tried)
    least, most = table.argmin(axis=0), table.argmax(axis=0)
    return {
        key: Range(
            float(table[least[v], v]),
            float(table[most[v], v]),
            said[least[v]],
            said[most[v]],
            _moving(table[:, v], said),
        )
        for v, key in enumerate(trial.graph.keys)
        if trial.graph.hidden[v]
    }


def _moving(column: Floats, said: list[str]) -> tuple[Tried, ...]:
    """Return the rates that move one void, by the chances under each; the first is as judged."""
    moved = np.abs(column - column[0])
    order = [int(n) for n in np.argsort(-moved, kind="stable") if moved[n] >= LEAST_MOVED]
    return tuple(Tried(said[n], float(column[n])) for n in order[:MOST_TRIED])


_HOW = {0.5: "halved", 2.0: "doubled"}


def _soiled(outlook: Floats) -> Floats:
    return np.asarray(np.clip(outlook.sum(axis=0), 0.0, 1.0))


class Under(NamedTuple):
    """What one changed rate makes of the draws."""

    outlook: Floats
    """[3, V] [1]"""
    least: Floats
    """[V] how far a chance must move to count. [1]"""
    logs: Floats
    """[N] log weight of each draw. [nat]"""
    others: list[Evidence]
    rates: Rates
    rerun: bool
    """Whether it was drawn anew."""


class Trial:
    """Tries changed rates on draws taken once."""

    def __init__(
        self,
        samples: tuple[Sample, ...],
        effort: Effort,
        book: Book,
        rates: Rates,
        next_check: NextCheck | None,
    ) -> None:
        self.samples, self.effort, self.book, self.rates = samples, effort, book, rates
        self.graph = samples[0].case.graph
        seen = {v for one in samples[0].case.evidence.statements for v, _ in one.seen}
        self.open = [v not in seen for v in range(len(self.graph.keys))]
        total = sum(len(one.load) for sample in samples for one in sample.populations)
        step = -(-total // MOST_DRAWS)
        self.all = [
            join(sample, weight, step)
            for sample, weight in zip(samples, weights(samples), strict=True)
        ]
        self.base = np.concatenate([one.base for one in self.all])
        self.outlook = self._outlook(self.base, [one.values for one in self.all])
        self.bands = self._bands(self.outlook)
        self.ask = next_check
        self.next_now = ""
        if next_check is not None:
            self.draws = thinned(gather(samples, True, np.zeros(len(self.graph.keys))), step)
            self.next_now = next_check(self.draws, rates)

    def effect(self, name: RateName, factor: float) -> Effect | None:
        """Return what one changed rate changes; None where that is nothing.

        Parameters
        ----------
        name : RateName
            The rate.
        factor : float
            What it is multiplied by. [1]
        """
        under = self.under(name, factor)
        if under is None:
            return None
        outlook = under.outlook
        shift = (outlook - self.outlook).sum(axis=0)
        moved = shift * self.graph.hidden
        v = int(np.argmax(np.abs(moved)))
        if abs(float(moved[v])) < TOLD:
            return None
        bands = tuple(
            BandChange(self.graph.keys[i], self.graph.labels[i], self.graph.words[i], was, now)
            for i, (was, now) in enumerate(zip(self.bands, self._bands(outlook), strict=True))
            if was != now and self.open[i] and abs(float(shift[i])) >= under.least[i]
        )
        said = "" if under.rerun else self._next(under.logs, under.others, under.rates)
        return Effect(
            rate=name.words,
            factor=factor,
            bands=bands,
            next_check=said if said != self.next_now else "",
            moved=abs(float(moved[v])),
            void=self.graph.words[v],
            chance=(_chance(self.outlook, v), _chance(outlook, v)),
            rerun=under.rerun,
        )

    def under(self, name: RateName, factor: float) -> Under | None:
        """Return the chances under one changed rate; None where it says the same.

        Parameters
        ----------
        name : RateName
            The rate.
        factor : float
            What it is multiplied by. [1]
        """
        changed = scaled(self.rates, name, factor)
        others = [again(one.sample.case.evidence, changed) for one in self.all]
        if all(
            alike(one.sample.case.evidence, each)
            for one, each in zip(self.all, others, strict=True)
        ):
            return None
        ratio = np.concatenate(
            [
                log_ratio(one.sample, one.population, other)[0]
                for one, other in zip(self.all, others, strict=True)
            ]
        )
        logs, k = smooth(self.base + ratio)
        rerun = k >= TRUSTED or effective(logs) < min(EFFECTIVE, effective(self.base) / 2.0)
        least: Floats = np.zeros(len(self.graph.keys))
        if rerun:
            outlook, least = self._anew(others, name, factor)
        else:
            values = [values_under(one, other) for one, other in zip(self.all, others, strict=True)]
            outlook = self._outlook(logs, values)
        return Under(outlook, least, logs, others, changed, rerun)

    def _outlook(self, logs: Floats, values: list[Floats]) -> Floats:
        """Chances by field and void: [3, V]."""
        weight = np.exp(logs - logs.max())
        weight = weight / weight.sum()
        total, at = np.zeros((len(FIELDS), len(self.graph.keys))), 0
        for one in values:
            share = weight[at : at + one.shape[1]]
            total += np.einsum("k,fkv->fv", share, one)
            at += one.shape[1]
        return np.clip(total, 0.0, 1.0)

    def _bands(self, outlook: Floats) -> list[str]:
        hidden = self.graph.hidden
        return [
            band(Outlook(*map(float, outlook[:, v])), self.book, hidden=bool(hidden[v]))
            for v in range(outlook.shape[1])
        ]

    def _anew(self, others: list[Evidence], name: RateName, factor: float) -> tuple[Floats, Floats]:
        """Chances from new draws, and how far each must move to count."""
        changed = tuple(
            msgspec.structs.replace(one.sample.case, evidence=other)
            for one, other in zip(self.all, others, strict=True)
        )
        stage = f"{name.words} x {factor}"
        chances = void_chances(sample_cases(changed, self.effort, stage, None))
        outlook = np.stack([chances[field].mean for field in FIELDS])
        return outlook, np.asarray(RERUN_ERRORS * chances["soiled"].error)

    def _next(self, logs: Floats, others: list[Evidence], changed: Rates) -> str:
        if self.ask is None:
            return ""
        weight = np.exp(logs - logs.max())
        soil, nest, at = self.draws.soil.copy(), self.draws.nest.copy(), 0
        for one, other in zip(self.all, others, strict=True):
            span = slice(at, at + len(one.base))
            at += len(one.base)
            redraw(one, other, soil[span], nest[span], self.effort.seed)
        draws = msgspec.structs.replace(
            self.draws, weight=weight / weight.sum(), soil=soil, nest=nest
        )
        return self.ask(draws, changed)


def _chance(outlook: Floats, v: int) -> float:
    return float(min(1.0, outlook[:, v].sum()))


def lines(result: Sensitivity, most: int = 12) -> list[str]:
    """Return the answer in lines for people, the most telling rate first.

    Parameters
    ----------
    result : Sensitivity
        From :func:`sensitivity`.
    most : int
        Rates to name.
    """
    matter = [one for one in result.effects if one.bands or one.next_check]
    said = [
        f"{result.rates} judged rates of the signs, each halved and doubled in turn: "
        f"{len({one.rate for one in matter})} of them change a band"
        + (" or the next check." if result.next_check else ".")
    ]
    if result.next_check:
        said.append(f"Next check as judged: {result.next_check}")
    said += [_line(one) for one in (matter or list(result.effects))[:most]]
    left = len(matter) - most
    if left > 0:
        said.append(f"{left} more change a band or the next check, all of them less.")
    if not matter and not result.effects:
        said.append("None moves any chance by half a point.")
    return said


def _line(one: Effect) -> str:
    how = _HOW[one.factor]
    parts = []
    if one.next_check:
        parts.append(f"next check {one.next_check}")
    if one.bands:
        first = one.bands[0]
        more = f" and {len(one.bands) - 1} more" if len(one.bands) > 1 else ""
        parts.append(f"{first.label} {first.was} > {first.would_be}{more}")
    was, now = (percent(each) for each in one.chance)
    parts.append(f"most moved: {one.void}, {was} > {now}")
    return f"{one.rate}, {how}: {'; '.join(parts)}{' (drawn anew)' if one.rerun else ''}"

"""The steps in order: from job, plan and graph to checks, openings, work, closing, price, days.

    walked = walk(job, seed=1)
    walked.diagnosis.verdict

No arithmetic here.  A step whose input has not changed is not run again: results are kept in the
process under a hash of everything that went in.

Limits: the memory is of the process only and holds the last few results of each step.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable
from typing import Any, TypeVar

import msgspec

from wainscot import plan as plan_step
from wainscot import signs as signs_step
from wainscot import voids as voids_step
from wainscot.access import Access, questions_of, site_of, ways, ways_to_open
from wainscot.all_clear import AllClear
from wainscot.all_clear import all_clear as clear
from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.checks import Pooled, Result, answers_of, pool, rank
from wainscot.cleaning import Label, Work, work_of
from wainscot.diagnosis import Draws, diagnose
from wainscot.diagnosis.answer import Diagnosis
from wainscot.diagnosis.cases import species_of
from wainscot.diagnosis.sensitivity import NextCheck, Range, Sensitivity
from wainscot.diagnosis.sensitivity import ranges as rate_ranges
from wainscot.diagnosis.sensitivity import sensitivity as try_rates
from wainscot.errors import Fault, InputError
from wainscot.estimate import Estimate, Scope
from wainscot.estimate import estimate as price
from wainscot.job import Job, sound
from wainscot.job import faults as job_faults
from wainscot.job.handed import OF_PAPERS
from wainscot.openings import GAP, Choice, Wanted, choose, known_of
from wainscot.papers.answers import Answers, Photo
from wainscot.plan import Plan
from wainscot.programme import Given, Programme
from wainscot.programme import programme as lay_out
from wainscot.sealing import (
    Sealing,
    SealList,
    Terms,
    Today,
    likely_nests,
    ordered,
    seal_lists,
    used_ways,
)
from wainscot.signs import DEFAULT as DEFAULT_RATES
from wainscot.signs import Evidence, Rates
from wainscot.signs.learnt import with_factors
from wainscot.voids.graph import Graph

T = TypeVar("T")
Clock = Callable[[], float]
Progress = Callable[[float], None]

_KEPT = 8
_memory: OrderedDict[str, Any] = OrderedDict()


class Survey(msgspec.Struct, frozen=True):
    """What a job says before anything is weighed: geometry, hidden voids, signs in their places."""

    job: Job
    """With the framing guess that the graph stands on written in."""
    guess: str
    species: str
    plan: Plan
    graph: Graph
    evidence: Evidence


class Walk(msgspec.Struct, frozen=True):
    """The whole way: survey under the likeliest hypothesis, diagnosis, checks, openings, work."""

    survey: Survey
    diagnosis: Diagnosis
    checks: Result | None
    """None where nothing is drawn, so that there is nothing to check, or where none was asked."""
    openings: Choice | None
    """None where nothing is drawn, so that there is nothing to open."""
    offered: tuple[Access, ...]
    """Every opening that was weighed."""
    timings: tuple[tuple[str, float], ...]
    """Seconds that each step took, by its name. [s]"""
    drawn: Draws | None = None
    """The draws behind the diagnosis."""
    work: Work | None = None
    """Containment and cleaning of the hidden voids to open; None where nothing is drawn."""
    sealing: Sealing | None = None
    """What to close and in which order; None where nothing is drawn, or where none was asked."""
    all_clear: AllClear | None = None
    """Whether it is over; None likewise."""
    estimate: Estimate | None = None
    """What it will cost; None where nothing is drawn, or where it was not asked."""
    programme: Programme | None = None
    """What happens when; None likewise, or without a first day."""


def check(job: Job) -> tuple[Fault, ...]:
    """Return everything that is wrong with a job, of all steps at once; empty if it is sound."""
    return (*job_faults(job), *plan_step.faults(job), *signs_step.faults(sound(job)))


def _refuse(job: Job) -> None:
    if found := check(job):
        raise InputError(found)


def survey(job: Job, *, guess: str = "", species: str = "", rates: Rates = DEFAULT_RATES) -> Survey:
    """Return plan, graph and evidence under one hypothesis.

    Parameters
    ----------
    job : Job
        Any job.
    guess : str
        Id of a framing guess; the one of greatest weight if empty.
    species : str
        The animal; the likeliest of those in question if empty.
    rates : Rates, optional
        The rates of the signs.

    Raises
    ------
    InputError
        If :func:`check` finds anything.
    """
    _refuse(job)
    made = (job, guess, species) if rates is DEFAULT_RATES else (job, guess, species, rates)
    return _remembered("survey", made, lambda: _survey(job, guess, species, rates))


def _survey(job: Job, guess: str, species: str, rates: Rates) -> Survey:
    framed = voids_step.framed(job, guess)
    if not species:
        in_question = species_of(job)
        species = max(in_question, key=lambda each: in_question[each])
    graph = voids_step.build(framed.plan, species)
    evidence = signs_step.read(framed.job, framed.plan, graph, species, rates=rates)
    return Survey(framed.job, framed.guess, species, framed.plan, graph, evidence)


def walk(
    job: Job,
    *,
    seed: int = 1,
    draws: int = 4096,
    book: Book = DEFAULT_BOOK,
    wanted: Wanted | None = None,
    progress: Progress | None = None,
    clock: Clock | None = None,
    why: bool = False,
    gap: float = GAP,
    checks: bool = True,
    label: Label | None = None,
    closing: Terms | None = None,
    priced: bool = False,
    start: str = "",
) -> Walk:
    """Return the diagnosis of a job and all that follows from it.

    Parameters
    ----------
    job : Job
        Any job.
    seed : int
        Of all randomness; the same seed gives the same answer, to the last bit.
    draws : int
        Posterior draws in all.
    book : Book, optional
        The firm's rates.
    wanted : Wanted, optional
        What has to be opened, what not, and for how much.
    progress : callable, optional
        Called with the share that is done. [1]
    clock : callable, optional
        For the timings; without it they are zero. [s]
    why : bool
        Whether the reasons of every void are worked out too, into ``drawn.why``.
    gap : float
        Share by which the cost of the openings may exceed the best there is. [1]
    checks : bool
        False leaves the next checks out.
    label : Label, optional
        Of the product in the hand; without one the cleaning waits.
    closing : Terms, optional
        What is asked beside the job's closing terms; without it nothing is said of closing.
    priced : bool
        Whether it is priced; without ``closing`` the seals are not in the price.
    start : str
        The first day of the work, a date; where it is priced, it is then laid on days too.

    Raises
    ------
    InputError
        If :func:`check` finds anything, or if what is wanted cannot be had.
    """
    times = _Times(clock or (lambda: 0.0))
    _refuse(job)
    rates = with_factors(DEFAULT_RATES, book.signs)
    times.took("check")

    def weigh() -> tuple[Diagnosis, Draws]:
        return diagnose(
            job, seed=seed, draws=draws, book=book, rates=rates, progress=progress, why=why,
        )  # fmt: skip

    diagnosis, drawn = _remembered("diagnosis", (_content(job), seed, draws, book, why), weigh)
    times.took("diagnosis")
    best = max(diagnosis.hypotheses, key=lambda each: each.weight)
    species, guess = drawn.cases[0] if drawn.cases else (best.species, best.guess)
    surveyed = survey(job, guess=guess, species=species, rates=rates)
    times.took("survey")
    if not drawn.cases:
        return Walk(surveyed, diagnosis, None, None, (), tuple(times.all), drawn)
    pooled = pool(drawn, answers_of(job))

    def ranked() -> Result:
        looks = _looks(job, surveyed)
        return rank(pooled, surveyed.graph, surveyed.evidence, looks, book, rates=rates, seed=seed)

    next_checks = (
        _remembered("checks", (_content(job), seed, draws, book), ranked) if checks else None
    )
    times.took("checks")
    openings, offered = _remembered(
        "openings",
        (_content(job), seed, draws, book, wanted, gap),
        lambda: _openings(job, surveyed, pooled, book, wanted, gap),
    )
    times.took("openings")
    work = _work(job, surveyed, diagnosis, label)
    times.took("work")
    sealing, cleared = None, None
    if closing is not None:
        sealing, cleared = _remembered(
            "closing",
            (_content(job), seed, draws, book, closing),
            lambda: _closing(job, surveyed, diagnosis, drawn, book, closing),
        )
        times.took("closing")
    found_price, days = None, None
    if priced:
        scope = Scope(surveyed.plan, surveyed.graph, pooled, next_checks, openings, offered,
                      _seals(surveyed, sealing), book)  # fmt: skip
        found_price = price(scope, seed=seed)
        times.took("estimate")
        if start:
            days = lay_out(Given(job, scope, work, sealing, cleared), start, seed=seed)
            times.took("programme")
    return Walk(surveyed, diagnosis, next_checks, openings, offered, tuple(times.all), drawn, work,
                sealing, cleared, found_price, days)  # fmt: skip


def _seals(surveyed: Survey, sealing: Sealing | None) -> SealList | None:
    """Return the list as built of the likelier animal; roof rats pass what Norway rats pass."""
    if sealing is None:
        return None
    built = [one for one in sealing.lists if one.grade == "as built"]
    mice = "mouse" in surveyed.species
    return next((one for one in built if ("mouse" in one.species) == mice), None)


def _work(job: Job, surveyed: Survey, diagnosis: Diagnosis, label: Label | None) -> Work:
    """Return containment and cleaning of the hidden voids whose band is to open."""
    at = surveyed.graph.index()
    voids = [at[one.id] for one in diagnosis.voids
             if one.band == "open" and one.hidden and one.id in at]  # fmt: skip
    return work_of(job, surveyed.plan, surveyed.graph, voids, label)


def _closing(
    job: Job, surveyed: Survey, diagnosis: Diagnosis, drawn: Draws, book: Book, terms: Terms
) -> tuple[Sealing, AllClear]:
    """Return the seal lists, in the order that fits what is thought, and whether it is over."""
    asked = msgspec.structs.replace(terms, nests=terms.nests or likely_nests(diagnosis.voids))
    today = Today(species=surveyed.species, used=used_ways(diagnosis.entries))
    sealing = seal_lists(job, asked, book=book, guess=surveyed.guess, today=today)
    cleared = clear(
        job, surveyed.plan, surveyed.graph, drawn, sealing, shared=terms.shared,
        looked=surveyed.evidence.looked, book=book,
    )  # fmt: skip
    in_use = 1.0 - cleared.statement.chance
    return ordered(sealing, msgspec.structs.replace(today, in_use=in_use)), cleared


def _looks(job: Job, surveyed: Survey) -> tuple[Access, ...]:
    return _remembered(
        "looks",
        (_content(job), surveyed.guess, surveyed.species),
        lambda: ways(surveyed.plan, surveyed.graph, site_of(job), questions_of(job)),
    )


def _openings(
    job: Job, surveyed: Survey, pooled: Pooled, book: Book, wanted: Wanted | None, gap: float
) -> tuple[Choice, tuple[Access, ...]]:
    plan, graph = surveyed.plan, surveyed.graph
    offered = ways_to_open(plan, graph, site_of(job), book)
    known = known_of(job, plan, graph, surveyed.evidence, offered)
    return choose(pooled, graph, offered, book, known=known, wanted=wanted, gap=gap), offered


def sensitivity(
    job: Job,
    *,
    seed: int = 1,
    draws: int = 4096,
    book: Book = DEFAULT_BOOK,
    progress: Progress | None = None,
) -> Sensitivity:
    """Return what each judged rate of the signs would change if it were halved or doubled.

    Parameters
    ----------
    job : Job
        Any job.
    seed : int
        Of all randomness.
    draws : int
        Posterior draws in all.
    book : Book, optional
        The firm's rates.
    progress : callable, optional
        Called with the share that is done. [1]

    Raises
    ------
    InputError
        If :func:`check` finds anything.
    """
    _refuse(job)
    return try_rates(
        job, seed=seed, draws=draws, book=book, rates=with_factors(DEFAULT_RATES, book.signs),
        progress=progress, next_check=_namer(job, book, seed),
    )  # fmt: skip


def ranges(
    job: Job,
    *,
    seed: int = 1,
    draws: int = 4096,
    book: Book = DEFAULT_BOOK,
    progress: Progress | None = None,
) -> dict[str, Range]:
    """Return where each hidden void's chance goes if any one judged rate is off by two, by its id.

    Parameters
    ----------
    job : Job
        Any job.
    seed, draws, book, progress
        As in :func:`sensitivity`.

    Raises
    ------
    InputError
        If :func:`check` finds anything.
    """
    _refuse(job)
    rates = with_factors(DEFAULT_RATES, book.signs)
    return _remembered(
        "ranges",
        (_content(job), seed, draws, book.signs),
        lambda: rate_ranges(job, seed=seed, draws=draws, rates=rates, progress=progress),
    )


def _namer(job: Job, book: Book, seed: int) -> NextCheck:
    """Name the best check under changed rates; the ways to look are the same every time."""

    def name(drawn: Draws, rates: Rates) -> str:
        species, guess = drawn.cases[0]
        surveyed = survey(job, guess=guess, species=species)
        pooled = pool(drawn, answers_of(job))
        offered = _looks(job, surveyed)
        ranked = rank(
            pooled, surveyed.graph, surveyed.evidence, offered, book, rates=rates, seed=seed
        )
        best = next((each.doing for each in ranked.checks if each.pays), "time to open")
        return f"{best[:1].lower()}{best[1:]}"

    return name


class _Times:
    """Seconds from one mark to the next, by name."""

    def __init__(self, clock: Clock) -> None:
        self.clock = clock
        self.last = clock()
        self.all: list[tuple[str, float]] = []

    def took(self, step: str) -> None:
        now = self.clock()
        self.all.append((step, now - self.last))
        self.last = now


def _content(job: Job) -> object:
    """What is calculated from; a copy of a job under another id or title gives the same results."""
    weighed = {key: one for key, one in job.entities.items() if one.get("kind") not in OF_PAPERS}
    return job.units, weighed, job.conflicts


def _remembered(step: str, inputs: object, make: Callable[[], T]) -> T:
    """Return the result kept for these inputs, or make it and keep it."""
    packed = msgspec.json.encode((step, inputs), order="sorted")
    key = hashlib.sha256(packed).hexdigest()
    if key not in _memory:
        _memory[key] = make()
        while len(_memory) > _KEPT:
            _memory.popitem(last=False)
    _memory.move_to_end(key)
    kept: T = _memory[key]
    return kept


def answers(
    walked: Walk,
    job: Job,
    *,
    date: str = "",
    head: str = "",
    given: str = "",
    photos: dict[str, Photo] | None = None,
) -> Answers:
    """Return what papers are made from.

    Parameters
    ----------
    walked : Walk
        The walk of the job.
    job : Job
        The job.
    date : str
        Day that stands on the papers, ``2026-05-12``.
    head : str
        Head of the record that the job was folded from.
    given : str
        Text of the signed head that is given out with the papers.
    photos : dict of str to Photo, optional
        Those at hand, by the SHA-256 of the photo as it was taken.
    """
    seen = walked.survey
    return Answers(
        job, seen.plan, seen.graph, walked.diagnosis, seen.species, walked.openings,
        walked.offered, walked.work, walked.sealing, walked.all_clear, walked.estimate,
        photos or {}, date, head, given, walked.programme if date else None,
    )  # fmt: skip

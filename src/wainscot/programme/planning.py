"""The programme: activities laid on days, with the people there are, and how sure its end is.

Lengths are drawn: the hours of a stage by one factor of mean one (they come out longer together, as
in the price), waits and answers from their triangles.  Each course is scheduled by the same list;
the dates are those by which half of the courses and nine in ten are done.

Limits: what is drawn is how long things take, not whether they are needed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from datetime import date, timedelta

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.book import Book
from wainscot.estimate.pricing import stage_factors
from wainscot.job import Job, Signature, date_of, sound, typed
from wainscot.programme.drafting import drafts
from wainscot.programme.groups import Group
from wainscot.programme.hours import Hours, working_hours
from wainscot.programme.making import CREW, ELECTRICIAN, FINISHER, MASON, Draft
from wainscot.programme.model import Activity, Given, Programme
from wainscot.programme.scheduling import (
    Schedule,
    Task,
    best_of,
    bound,
    critical,
    order_of,
    serial,
)
from wainscot.programme.telling import crews_of, days_of, rooms_of
from wainscot.programme.waits import (
    CABLES,
    CONTACT,
    HANGING,
    METER,
    SIGN,
    WETTING,
    Range,
    slots,
)

DRAWS = 200
LIKELY, LATE = 0.5, 0.9


def programme(given: Given, start: str, *, seed: int = 1, draws: int = DRAWS) -> Programme:
    """Return what happens when.

    Parameters
    ----------
    given : Given
        The answers of the steps above.
    start : str
        The first day, as a date; where nobody works on it, work begins on the next that is.
    seed : int
        Of the drawn lengths; the same seed gives the same dates.
    draws : int
        Courses that are drawn. [1]
    """
    book = given.scope.book
    made, groups = drafts(given)
    hours = hours_of(book, start)
    crews = _numbers(book, made)
    at = {one.key: n for n, one in enumerate(made)}
    tasks = [_task(one, at, slots(one.likely)) for one in made]
    plan = best_of(tasks, crews, hours, _rooms_shut(made))
    least = bound(tasks, crews, hours)
    ends, often = _courses(made, tasks, plan, crews, hours, book, seed, draws)
    hung = critical(tasks, plan, hours)
    activities = _activities(made, groups, plan, hours, hung, often, book)
    days = days_of(activities, groups, hours)
    return Programme(
        start=days[0].date if days else start,
        end=_clock(hours, plan.end),
        likely_end=_day(hours, ends, LIKELY), late_end=_day(hours, ends, LATE),
        earliest_end=_clock(hours, least), gap=(plan.end - least) / least if least else 0.0,
        rule=plan.rule, activities=activities,
        critical=tuple(activities[n].key for n in sorted(hung, key=lambda n: (plan.starts[n], n))),
        days=days, rooms=rooms_of(activities, groups),
        crews=crews_of(activities, crews, book, hours),
        visits=sum(bool(one.who) for one in days), zone=book.team.zone,
        assumed=_assumed(given), judged=_judged(book), limits=LIMITS, draws=draws, seed=seed,
    )  # fmt: skip


def first_day(job: Job, today: date) -> str:
    """Return the day after the last that a job is dated with; without one, the day after today.

    Parameters
    ----------
    job : Job
        Any job; what has faults counts for nothing.
    today : datetime.date
        What day it is.
    """
    told = (str(getattr(one, "at", "") or "") for one in typed(sound(job)).values()
            if not isinstance(one, Signature))  # fmt: skip
    # The day of an agreement may be typed in words; it is then no day to count from.
    days = (date_of(text) or date_of(text[:10]) for text in told)
    last = max((day for day in days if day), default=today)
    return (last + timedelta(days=1)).isoformat()


def hours_of(book: Book, start: str) -> Hours:
    """Return the firm's working hours from a day on.

    Parameters
    ----------
    book : Book
        The firm's rates.
    start : str
        A date.
    """
    day = min(slots(book.business.day.value), 96)
    begins = min(max(0, round(4 * book.team.begins.value)), 96 - day)
    return working_hours(start, day, begins=begins, days=book.team.days, off=book.team.off)


def _rooms_shut(made: Sequence[Draft]) -> Callable[[Sequence[int], Sequence[int]], float]:
    """Return what sums for how long rooms are shut: a choice of schedules that end at once."""
    shut: dict[str, list[int]] = {}
    for n, one in enumerate(made):
        if one.room and one.who != FINISHER:
            shut.setdefault(one.room, []).append(n)

    def shut_for(starts: Sequence[int], ends: Sequence[int]) -> float:
        return float(sum(max(ends[n] for n in some) - min(starts[n] for n in some)
                         for some in shut.values()))  # fmt: skip

    return shut_for


def _numbers(book: Book, made: Sequence[Draft]) -> dict[str, int]:
    """How many there are of each crew and trade; of a person, one."""
    team = book.team
    found = {CREW: team.crews, FINISHER: team.finishers, MASON: team.masons,
             ELECTRICIAN: team.electricians}  # fmt: skip
    numbers = {who: max(1, int(one.value)) for who, one in found.items()}
    return numbers | {one.who: 1 for one in made if one.who and one.who not in numbers}


def _task(one: Draft, at: dict[str, int], length: int) -> Task:
    return Task(length, tuple(at[key] for key in one.after), one.who, 1, one.whole)


def _courses(
    made: Sequence[Draft], tasks: Sequence[Task], plan: Schedule, crews: dict[str, int],
    hours: Hours, book: Book, seed: int, draws: int,
) -> tuple[list[int], Floats]:  # fmt: skip
    """Ends of the drawn courses, and the share of them that each activity holds up."""
    lengths = _lengths(made, book, seed, draws)
    order, counted = order_of(plan, tasks), np.zeros(len(made))
    ends = []
    for k in range(draws):
        drawn = [msgspec.structs.replace(task, length=slots(float(lengths[n, k])))
                 for n, task in enumerate(tasks)]  # fmt: skip
        starts, done = serial(drawn, crews, hours, order)
        course = Schedule(tuple(starts), tuple(done), "")
        ends.append(course.end)
        counted[list(critical(drawn, course, hours))] += 1
    return sorted(ends), counted / max(1, draws)


def _lengths(made: Sequence[Draft], book: Book, seed: int, draws: int) -> Floats:
    """[N, K] hours of each activity in each course. [h]."""
    rng = np.random.Generator(np.random.Philox(seed))
    factors = stage_factors(rng, book.business.spread.value, draws)
    chances = rng.random((len(made), draws))
    out = np.empty((len(made), draws))
    for n, one in enumerate(made):
        if isinstance(one.hours, Range):
            out[n] = one.hours.drawn(chances[n])
        elif one.sort == "work":
            out[n] = one.hours * factors[one.stage]
        else:
            out[n] = one.hours
    return out


def _activities(
    made: Sequence[Draft], groups: Sequence[Group], plan: Schedule, hours: Hours, hung: set[int],
    often: Floats, book: Book,
) -> tuple[Activity, ...]:  # fmt: skip
    people = max(1, int(book.business.crew.value))

    def place(key: str) -> str:
        return next((one.name for one in groups if key.startswith(f"{one.key}/")), "")

    return tuple(
        Activity(
            one.key, one.stage, one.sort, one.words, place(one.key), one.room, one.who,
            0 if not one.who else people if one.who == CREW else 1, slots(one.likely) / 4,
            _clock(hours, plan.starts[n]), _clock(hours, plan.ends[n]), one.after, n in hung,
            float(often[n]), one.places, one.parts, one.first, one.evidence, one.holds,
        )
        for n, one in enumerate(made)
    )  # fmt: skip


def _clock(hours: Hours, t: int) -> str:
    return hours.wall(t).isoformat(timespec="minutes")


def _day(hours: Hours, ends: Sequence[int], share: float) -> str:
    """The day by which this share of the courses is done."""
    if not ends:
        return hours.first
    end = ends[max(0, math.ceil(share * len(ends)) - 1)]
    return hours.wall(max(0, end - 1)).date().isoformat()


def _assumed(given: Given) -> tuple[str, ...]:
    team = given.scope.book.team
    out = [f"people work {team.days}, {given.scope.book.business.day.value:g} h a day from "
           f"{team.begins.value:g} h"]  # fmt: skip
    if given.work is None or given.work.cleaning is None:
        out.append(f"it soaks {CONTACT.value:g} min until the label is typed in")
    return tuple(out)


def _judged(book: Book) -> tuple[str, ...]:
    team = book.team
    rates = (team.crews, team.finishers, team.masons, team.electricians, team.rounds_every,
             team.drying, team.coat, book.business.crew, book.business.day, book.business.spread,
             SIGN, METER, CABLES, CONTACT, WETTING, HANGING)  # fmt: skip
    told = [f"{one.value:g} {one.unit}: {one.source}" for one in rates if one.is_judgement]
    return (
        *told,
        "up to 5 days until an answer, a signature or a licensed trade has come",
    )


LIMITS = (
    "all that is planned is done; what a check settles or an opening adds changes it",
    "a plan, no promise: nobody has been asked whether they can come",
    "cleaning and trapping run side by side; where traps still catch afterwards, clean again",
    "drying is over when the meter says so, whatever the day",
)

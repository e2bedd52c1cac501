"""From a job, its plan and the draws of its diagnosis to the all-clear statement.

    found = all_clear(job, plan, graph, draws, sealing)
    found.statement.outcome

The starting point is the diagnosis' chance that nothing is in use; nights of traps (kind ``trap``)
after the last seal count here and nowhere else.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import msgspec
import numpy as np

from wainscot.all_clear.absence import OTHERS
from wainscot.all_clear.callback import Callback, callback_of
from wainscot.all_clear.cover import Cover, centres, cover_of, falling
from wainscot.all_clear.outcome import (
    GOOD_FOR,
    SURE,
    Case,
    Statement,
    cheapest_stop,
    course_by_void,
    further_nights,
    helps_most,
    judge,
    nightly_return,
)
from wainscot.all_clear.rate import Rate
from wainscot.all_clear.smells import Smell, smells_of
from wainscot.all_clear.watching import STALE, Watching, last_seal
from wainscot.arrays import Floats
from wainscot.book import DEFAULT, Book
from wainscot.diagnosis.draws import Draws
from wainscot.job import Job
from wainscot.plan.model import Plan
from wainscot.sealing import Sealing, SealList, terms_of
from wainscot.voids.graph import Graph

KNOWN_OPEN = {"declined", "cannot be reached", "left open"}
"""Ways that anybody could come back by tonight; the others are a neighbour's, not drawn, or an
outlet that has to stay open."""
ENDS_IT = (
    "it ends with work on the building, a seal that is broken or taken out, a way in that was "
    "declined or is not ours, or a new sign that nobody reports"
)
"""What ends a warranty; common practice, no source."""


class Night(msgspec.Struct, frozen=True):
    """The chance that they are gone after one night."""

    day: str
    """Its date, UTC."""
    low: float
    """At the low end of the range. [1]"""
    middle: float
    """[1]"""
    high: float
    """[1]"""
    caught: int
    """How many were caught by the look that ended it."""


class Stopping(msgspec.Struct, frozen=True):
    """When to stop watching by cost; told beside the chance, never instead of it."""

    nights: int | None
    """Further empty nights after which stopping costs least; None where nothing was watched."""
    a_night: float
    """Cost of one more night. [currency]"""
    callback: float
    """Cost of having stopped while they are there. [currency]"""
    currency: str
    """Empty where money is counted in hours."""


class NextTrap(msgspec.Struct, frozen=True):
    """Where one more trap helps most."""

    at: str
    """Words of the void; empty where nothing is drawn."""
    nights: int | None
    """Further empty nights for 95 in 100 with it; None where it would never be reached."""
    without: int | None
    """The same without it."""


class AllClear(msgspec.Struct, frozen=True):
    """The statement, what the traps did, where one more would help, what a callback needs."""

    statement: Statement
    watching: Watching
    species: str
    since: str
    """When the last seal that counts was made; empty where there is none."""
    by_night: tuple[Night, ...]
    rate: Rate
    next_trap: NextTrap
    stopping: Stopping
    smells: tuple[Smell, ...]
    callback: Callback
    not_placed: tuple[str, ...]
    """Traps whose place has no point: they count as catches, never as cover."""


def all_clear(
    job: Job, plan: Plan, graph: Graph, draws: Draws, sealing: Sealing, *, shared: bool = False,
    looked: Floats | None = None, book: Book = DEFAULT,
) -> AllClear:  # fmt: skip
    """Return the all-clear of a job.

    Parameters
    ----------
    job : Job
        A job without faults; its closing terms count.
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids, in the order of the draws.
    draws : Draws
        The draws of its diagnosis.
    sealing : Sealing
        Its seal lists.
    shared : bool
        A shop or a shared building: quiet and monitored is then the best end.
    looked : Floats, optional
        [V] share of each void that anybody looked at. [1]
    book : Book, optional
        The firm's rates.
    """
    cover, terms = cover_of(job, plan, graph, draws), terms_of(job)
    mine = _list_of(sealing, cover.species)
    case = _case(cover, mine, sealed=bool(last_seal(job)), shared=shared or terms.shared)
    until = _date(np.ceil(cover.last_look) + GOOD_FOR.value) if cover.caught else ""
    warranty = (*terms.warranty, ENDS_IT) if terms.warranty else ()
    return AllClear(
        msgspec.structs.replace(judge(case), valid_until=until, warranty=warranty),
        cover.seen, cover.species, last_seal(job), _by_night(case, cover), cover.rate,
        _next_trap(case, cover, graph), _stopping(case, book), smells_of(job),
        callback_of(job, graph, draws, mine, looked), cover.lost,
    )  # fmt: skip


def _case(cover: Cover, mine: SealList, *, sealed: bool, shared: bool) -> Case:
    """Return what is judged: the nights since the last seal, or since the last catch after it."""
    last = max((n for n, one in enumerate(cover.caught) if one), default=-1)
    return Case(
        _after_a_catch(cover) if cover.seen.catches else cover.before,
        cover.where,
        cover.nightly[last + 1 :],
        open_ways=sum(one.why in KNOWN_OPEN for one in mine.remaining),
        not_ours=sum(one.why not in KNOWN_OPEN for one in mine.remaining),
        nights_since_catch=None if last < 0 else float(cover.last_look - cover.last_catch),
        sealed=sealed and not mine.seals,
        shared=shared,
        rate=cover.rate,
        tonight=cover.tonight,
    )


def _after_a_catch(cover: Cover) -> float:
    """Return the chance that the one caught was the last, while nobody knows the number."""
    return min(cover.before, OTHERS.value)


def _list_of(sealing: Sealing, species: str) -> SealList:
    """Return the list as built of an animal; roof rats pass what Norway rats pass."""
    built = [one for one in sealing.lists if one.grade == "as built"]
    return next((one for one in built if one.species == species), built[-1])


def _by_night(case: Case, cover: Cover) -> tuple[Night, ...]:
    """Return the chance after every night, from the first on that was watched."""
    rate, back = case.rate, nightly_return(case)
    stops = [n for n, one in enumerate(cover.caught) if one]
    ends = []
    for each in (rate.low, rate.middle, rate.high):
        nightly = np.clip(cover.nightly * (each / rate.middle), 0.0, 1.0)
        found, start, absent = np.zeros(len(nightly)), 0, cover.before
        for stop in (*stops, len(nightly)):
            found[start:stop] = course_by_void(absent, case.where, nightly[start:stop], back)
            # The night of a catch shows that they are there.
            start, absent = stop + 1, _after_a_catch(cover)
        ends.append(found)
    return tuple(
        Night(_date(cover.first_day + n + 1), float(low), float(middle), float(high), caught)
        for n, (low, middle, high, caught) in enumerate(zip(*ends, cover.caught, strict=True))
    )


def _date(day: float) -> str:
    return (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(days=day)).date().isoformat()


def _next_trap(case: Case, cover: Cover, graph: Graph) -> NextTrap:
    if not graph.hidden.any():
        return NextTrap("", None, None)
    now = cover.tonight if cover.tonight is not None else np.zeros(len(case.where))
    candidates = np.flatnonzero(graph.hidden)
    middles = centres(graph)
    gains = case.rate.middle * np.array(
        [falling(middles, at, cover.spread) for at in middles[candidates]]
    )
    best = helps_most(case.where, now, gains)
    return NextTrap(
        graph.words[int(candidates[best])], further_nights(case, SURE.value, gains[best]),
        further_nights(case, SURE.value),
    )  # fmt: skip


def _stopping(case: Case, book: Book) -> Stopping:
    a_night = book.trap_round.value * book.hour.value / STALE.value
    callback = book.callback_nest.value * book.hour.value
    nights = cheapest_stop(case, a_night, callback)
    return Stopping(nights, a_night, callback, book.currency)

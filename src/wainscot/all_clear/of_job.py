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
from wainscot.all_clear.outcome import (
    GOOD_FOR,
    SPREAD,
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
from wainscot.all_clear.rate import Rate, rate_of
from wainscot.all_clear.smells import Smell, smells_of
from wainscot.all_clear.watching import (
    STALE,
    Interval,
    Watching,
    all_intervals,
    last_seal,
    rounds,
    standing,
    watching,
)
from wainscot.arrays import Bools, Floats
from wainscot.book import DEFAULT, Book
from wainscot.diagnosis.draws import Draws
from wainscot.job import Job, Trap, day_of, typed
from wainscot.plan.model import Plan
from wainscot.sealing import Sealing, SealList, terms_of
from wainscot.voids.graph import Graph
from wainscot.voids.points import point_of

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
    watch = _Watch(job, plan, graph, draws)
    seen, terms = watch.seen, terms_of(job)
    mine = _list_of(sealing, watch.species)
    nights = _Nights(watch, watch.days)
    last = max((n for n, one in enumerate(nights.caught) if one), default=-1)
    ended = watch.days[1] if watch.days[1] > watch.days[0] else 0
    case = Case(
        min(watch.before, OTHERS.value) if seen.catches else watch.before,
        watch.where, nights.nightly[last + 1 :],
        sum(one.why in KNOWN_OPEN for one in mine.remaining),
        sum(one.why not in KNOWN_OPEN for one in mine.remaining),
        None if last < 0 else float(watch.last_look - watch.last_catch),
        not mine.seals and bool(last_seal(job)), shared or terms.shared, watch.rate, watch.tonight,
    )  # fmt: skip
    statement = msgspec.structs.replace(
        judge(case), valid_until=_date(ended + GOOD_FOR.value) if ended else "",
        warranty=(*terms.warranty, ENDS_IT) if terms.warranty else (),
    )  # fmt: skip
    return AllClear(
        statement, seen, watch.species, last_seal(job), _by_night(case, watch, nights, last),
        watch.rate, _next_trap(case, watch), _stopping(case, book), smells_of(job),
        callback_of(job, graph, draws, mine, looked), watch.lost,
    )  # fmt: skip


def _list_of(sealing: Sealing, species: str) -> SealList:
    """Return the list as built of an animal; roof rats pass what Norway rats pass."""
    built = [one for one in sealing.lists if one.grade == "as built"]
    return next((one for one in built if one.species == species), built[-1])


class _Watch:
    """What was watched, where the traps stand, and where one would live."""

    def __init__(self, job: Job, plan: Plan, graph: Graph, draws: Draws) -> None:
        # Of two animals at once, the one that takes longer to show: its traps and its spread.
        self.species = draws.cases[0][0].partition(" and ")[0]
        self.graph = graph
        self.spread = SPREAD[self.species].value
        self.seen = watching(job, self.species)
        self.points, self.lost = _points(job, plan)
        self.where = _where(draws, graph.hidden)
        self.before = float(draws.weight @ ~draws.now.any(axis=1))
        self.kernel = {key: falling(graph, at, self.spread) for key, at in self.points.items()}
        ends = [one.start + one.nights for one in self.seen.intervals]
        self.last_look = max(ends, default=0.0)
        self.last_catch = max((one.start + one.nights for one in self.seen.intervals
                               if one.catches), default=0.0)  # fmt: skip
        known = self._before_the_nights(job)
        self.rate = rate_of(rounds(known), self._reach(known))
        starts = [one.start for one in self.seen.intervals]
        self.days = (int(np.floor(min(starts))), int(np.ceil(max(ends)))) if starts else (0, 0)
        self.tonight = self._tonight(standing(job)) if starts else None

    def _before_the_nights(self, job: Job) -> list[Interval]:
        """Return what traps did up to the last seal, or the last catch after it.

        The empty nights that follow are what the chance is made of: were they to say how surely a
        trap catches as well, they would count twice.
        """
        end = self.last_catch or (day_of(last_seal(job)) if last_seal(job) else 0.0)
        every = all_intervals(job, self.species)
        return [one for one in every if one.start + one.nights <= end + 1e-9]

    def _reach(self, every: list[Interval]) -> float:
        """Return what is left of a trap's chance at the distance of the homes, on average."""
        shares = [
            (float(self.where @ falling(self.graph, self.points[one.trap], self.spread)), one.ready)
            for one in every
            if one.trap in self.points
        ]
        whole = sum(ready for _, ready in shares)
        return sum(share * ready for share, ready in shares) / whole if whole > 0 else 0.0

    def chances(self, trap: str) -> Floats:
        """Return the chance a night that a trap catches what lives in each void: [V]."""
        return self.rate.middle * self.kernel[trap]

    def _tonight(self, traps: list[str]) -> Floats:
        missed = np.ones(len(self.where))
        for trap in traps:
            if trap in self.kernel:
                missed *= 1.0 - self.chances(trap)
        return np.asarray(1.0 - missed)


class _Nights:
    """Chance of each night to catch what lives in each void, and what was caught: N nights."""

    def __init__(self, watch: _Watch, days: tuple[int, int]) -> None:
        first, last = days
        missed = np.ones((last - first, len(watch.where)))
        self.caught = [0] * (last - first)
        for one in watch.seen.intervals:
            if one.catches:
                self.caught[int(np.ceil(one.start + one.nights)) - 1 - first] += one.catches
            elif one.trap in watch.points and one.nights > 0:
                self._stood(one, watch.chances(one.trap), missed, first)
        self.nightly: Floats = 1.0 - missed

    @staticmethod
    def _stood(one: Interval, reach: Floats, missed: Floats, first: int) -> None:
        worth = one.shy / one.nights
        for n in range(len(missed)):
            part = min(one.start + one.nights, first + n + 1.0) - max(one.start, float(first + n))
            if part > 1e-9:
                missed[n] *= (1.0 - reach) ** (worth * part)


def _where(draws: Draws, hidden: Bools) -> Floats:
    """Return where one would live: as the draws have it, with a small share for every void."""
    share = draws.weight @ draws.now + 0.01
    share = np.where(hidden, share, 0.0)
    total = share.sum()
    return np.asarray(share / total if total > 0 else np.full(len(share), 1.0 / len(share)))


def centres(graph: Graph) -> Floats:
    """Return the middle of each void: [V, 3]. [m]

    Parameters
    ----------
    graph : Graph
        The voids.
    """
    flat = np.array([outline.mean(axis=0) for outline in graph.polygon])
    return np.column_stack([flat, (graph.bottom + graph.top) / 2])


def _points(job: Job, plan: Plan) -> tuple[dict[str, Floats], tuple[str, ...]]:
    points, lost = {}, []
    for key, one in typed(job).items():
        if isinstance(one, Trap):
            point = point_of(plan, one.place)
            if point is None:
                lost.append(key)
            else:
                points[key] = np.array(point)
    return points, tuple(lost)


def falling(graph: Graph, at: Floats, spread: float) -> Floats:
    """Return the share of a trap's chance that is left at the middle of each void (half-normal).

    Parameters
    ----------
    graph : Graph
        The voids.
    at : Floats
        [3] where the trap stands. [m]
    spread : float
        Scale of the fall-off. [m]

    Returns
    -------
    Floats
        [V] [1]
    """
    away = ((centres(graph) - at) ** 2).sum(axis=1)
    return np.asarray(np.exp(-away / (2.0 * spread**2)))


def _by_night(case: Case, watch: _Watch, nights: _Nights, last: int) -> tuple[Night, ...]:
    """Return the chance after every night, from the first on that was watched."""
    rate, back = case.rate, nightly_return(case)
    ends = []
    for each in (rate.low, rate.middle, rate.high):
        nightly = np.clip(nights.nightly * (each / rate.middle), 0.0, 1.0)
        found, start, absent = np.zeros(len(nightly)), 0, watch.before
        stops = [n for n, one in enumerate(nights.caught) if one]
        for stop in (*stops, len(nightly)):
            found[start:stop] = course_by_void(absent, case.where, nightly[start:stop], back)
            # The night of a catch shows that they are there; then nobody knows how many are left.
            start, absent = stop + 1, min(watch.before, OTHERS.value)
        ends.append(found)
    return tuple(
        Night(_date(watch.days[0] + n + 1), float(ends[0][n]), float(ends[1][n]),
              float(ends[2][n]), nights.caught[n])
        for n in range(len(nights.caught))
    )  # fmt: skip


def _date(day: float) -> str:
    return (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(days=day)).date().isoformat()


def _next_trap(case: Case, watch: _Watch) -> NextTrap:
    graph = watch.graph
    if not graph.hidden.any():
        return NextTrap("", None, None)
    now = watch.tonight if watch.tonight is not None else np.zeros(len(case.where))
    candidates = np.flatnonzero(graph.hidden)
    gains = case.rate.middle * np.array(
        [falling(graph, at, watch.spread) for at in centres(graph)[candidates]]
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

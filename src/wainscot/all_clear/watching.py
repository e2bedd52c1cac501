"""Traps over time: what each stood ready for, what it caught, what to do on the next round.

Limits: what is left in the diagnosis as an inspection by trap nights is not read here, and checks
of traps are not read there, so that no night counts twice.
"""

from __future__ import annotations

from datetime import UTC, date, datetime

import msgspec

from wainscot.all_clear.index import index, worked
from wainscot.job import BaitLeft, Job, SealMade, Trap, TrapCheck, typed
from wainscot.sources import Cited, judged

SPACING: dict[str, tuple[Cited, Cited]] = {
    "house mouse": (
        Cited(1.8, "m", "US Navy NAVFAC MO-310", "6 ft where active", "read"),
        Cited(3.0, "m", "US Navy NAVFAC MO-310", "10 ft where active", "read"),
    ),
    "norway rat": (
        Cited(3.0, "m", "general page that names a university", "10 ft", "second-hand"),
        Cited(6.0, "m", "general page that names a university", "20 ft", "second-hand"),
    ),
}
"""Least and greatest usual distance between traps; roof rats as Norway rats. [m]"""

LAG: dict[str, Cited] = {
    "house mouse": judged(1.0, "nights", "mice explore what is new"),
    "norway rat": Cited(7.0, "nights", "MU Extension G9446", "several days or longer", "read"),
    "roof rat": Cited(7.0, "nights", "MU Extension G9446", "several days or longer", "read"),
}
"""Nights in which a new trap is avoided; each counts for a quarter."""
SHY_SHARE = judged(0.25, "1", "what a night of a new trap is worth while it is avoided")
STALE = judged(3.0, "nights", "a trap left longer may stand sprung unseen")


class Interval(msgspec.Struct, frozen=True):
    """What one trap did between two looks."""

    trap: str
    start: float
    """Days since the first of January 1970, UTC. [day]"""
    nights: float
    """Between the looks. [nights]"""
    ready: float
    """Of them, those that it stood ready. [nights]"""
    shy: float
    """Of those, what they are worth with the lag of a new object. [nights]"""
    state: str
    catches: int


class Watching(msgspec.Struct, frozen=True):
    """All intervals since a day, and their sums."""

    intervals: tuple[Interval, ...]
    trap_nights: float
    """[nights]"""
    catches: int
    sprung: int
    other: int
    missing: int
    bait_takes: int
    indices: tuple[float, float] | None
    """Catches per hundred corrected trap nights: every sprung trap; sprung without a catch. [1]"""
    before: float
    """Trap nights before that day; they are no part of this. [nights]"""


def day_of(text: str) -> float:
    """Return a date or time as days since the first of January 1970, UTC.

    Parameters
    ----------
    text : str
        As typed in a job.

    Returns
    -------
    float
        [day]
    """
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=UTC)
    return moment.timestamp() / 86400.0


def last_seal(job: Job) -> str:
    """Return when the last seal that counts was made; empty where there is none.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    made = [one.at for one in typed(job).values()
            if isinstance(one, SealMade) and one.by and one.photo and one.at]  # fmt: skip
    return max(made, key=day_of, default="")


def watching(job: Job, species: str, since: str = "") -> Watching:
    """Return what the traps of a job say since a day.

    Parameters
    ----------
    job : Job
        A job without faults.
    species : str
        The animal; says how long a new trap is avoided.
    since : str
        A date or time; the last seal if empty, and everything where there is none.
    """
    entities = typed(job)
    from_day = day_of(since or last_seal(job) or "1970-01-01")
    found: list[Interval] = []
    before = 0.0
    checks = [one for one in entities.values() if isinstance(one, TrapCheck)]
    for key, trap in entities.items():
        if isinstance(trap, Trap):
            mine = sorted((one for one in checks if one.trap == key), key=lambda c: day_of(c.at))
            for one in _intervals(key, trap, mine, LAG[species].value):
                if one.start >= from_day - 1e-9:
                    found.append(one)
                else:
                    before += one.ready
    return _summed(found, before)


def _intervals(key: str, trap: Trap, checks: list[TrapCheck], lag: float) -> list[Interval]:
    out, start, first = [], day_of(trap.at), day_of(trap.at)
    for one in checks:
        nights = max(day_of(one.at) - start, 0.0)
        # A trap that went away may have gone at once: it proves nothing.
        ready = 0.0 if one.state == "missing" else worked(nights, one.state)
        wary = min(max(first + lag - start, 0.0), ready)
        count = one.count if one.state == "caught" else 0
        out.append(Interval(key, start, nights, ready, ready - wary * (1 - SHY_SHARE.value),
                            one.state, count))  # fmt: skip
        if one.taken_up or one.state == "missing":
            break
        start += nights
    return out


def _summed(found: list[Interval], before: float) -> Watching:
    def number(state: str) -> int:
        return sum(one.state == state for one in found)

    whole = sum(one.nights for one in found)
    lost = sum(one.nights for one in found if one.state == "missing")
    catches = sum(one.catches for one in found)
    sprung, other = number("sprung"), number("other")
    both = None
    if whole - lost - (sprung + other + number("caught")) / 2 > 0:
        every = index(whole, catches, sprung_empty=sprung, other=other, lost=lost)
        empty = index(whole, catches, sprung_empty=sprung, other=other, lost=lost,
                      convention="sprung without a catch")  # fmt: skip
        both = (every, empty)
    return Watching(
        tuple(sorted(found, key=lambda one: (one.start, one.trap))),
        sum(one.ready for one in found), catches, sprung, other, number("missing"),
        number("bait taken"), both, before,
    )  # fmt: skip


class Task(msgspec.Struct, frozen=True):
    """One line of the next round."""

    what: str
    of: str
    """Id of the trap or of what was left."""
    why: str


def next_round(job: Job, today: date) -> tuple[Task, ...]:
    """Return what to do on the next round: traps to look at, bait to fetch.

    Parameters
    ----------
    job : Job
        A job without faults.
    today : datetime.date
        What day it is.
    """
    entities = typed(job)
    now = day_of(today.isoformat())
    out: list[Task] = []
    for key, one in entities.items():
        if isinstance(one, BaitLeft) and not one.fetched_at:
            out.append(Task(f"fetch {one.what}", key, "left in the building; the label rules"))
        if isinstance(one, Trap):
            mine = [c for c in entities.values() if isinstance(c, TrapCheck) and c.trap == key]
            last = max(mine, key=lambda c: day_of(c.at), default=None)
            if last is not None and last.state == "missing":
                out.append(Task("look for the trap", key, "it was gone; an animal may lie with it"))
            elif last is None or not last.taken_up:
                since = now - day_of(last.at if last else one.at)
                late = "overdue: " if since > STALE.value else ""
                out.append(Task("look at the trap", key, f"{late}{max(since, 0):.0f} nights since"))
    return tuple(sorted(out, key=lambda one: (not one.why.startswith("overdue"), one.what, one.of)))

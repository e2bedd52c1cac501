"""Traps over time: what each stood ready for, what it caught, what to do on the next round.

Limits: what is left in the diagnosis as an inspection by trap nights is not read here, and checks
of traps are not read there, so that no night counts twice.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from math import floor

import msgspec

from wainscot.all_clear.index import CONVENTIONS, index, worked
from wainscot.all_clear.rate import Round
from wainscot.job import BaitLeft, Job, SealMade, Trap, TrapCheck, day_of, typed
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


def spacing(species: str) -> tuple[float, float]:
    """Return least and greatest usual distance between traps. [m]

    Parameters
    ----------
    species : str
        The animal; roof rats as Norway rats.
    """
    low, high = SPACING.get(species, SPACING["norway rat"])
    return low.value, high.value


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


def all_intervals(job: Job, species: str, *, any_kind: bool = False) -> list[Interval]:
    """Return what every trap did between two looks, from the first day on, by time.

    Parameters
    ----------
    job : Job
        A job without faults.
    species : str
        The animal; says how long a new trap is avoided.
    any_kind : bool
        Whether mice and rats of every kind are catches, not those of the species alone.
    """
    entities = typed(job)
    checks = [one for one in entities.values() if isinstance(one, TrapCheck)]
    found = []
    for key, trap in entities.items():
        if isinstance(trap, Trap):
            mine = sorted((one for one in checks if one.trap == key), key=lambda c: day_of(c.at))
            found += _intervals(key, trap, mine, LAG[species].value, "" if any_kind else species)
    return sorted(found, key=lambda one: (one.start, one.trap))


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


def last_seal(job: Job) -> str:
    """Return when the last seal that counts was made; empty where there is none.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    made = [one.at for one in typed(job).values()
            if isinstance(one, SealMade) and one.counts and one.at]  # fmt: skip
    return max(made, key=day_of, default="")


def watching(job: Job, species: str, since: str = "", *, any_kind: bool = False) -> Watching:
    """Return what the traps of a job say since a day.

    Parameters
    ----------
    job : Job
        A job without faults.
    species : str
        The animal; says how long a new trap is avoided.
    since : str
        A date or time; the last seal if empty, and everything where there is none.
    any_kind : bool
        Whether mice and rats of every kind are catches, not those of the species alone.
    """
    from_day = day_of(since or last_seal(job) or "1970-01-01")
    every = all_intervals(job, species, any_kind=any_kind)
    found = [part for one in every if (part := _since(one, from_day)) is not None]
    return _summed(found, sum(one.ready for one in every) - sum(one.ready for one in found))


def _since(one: Interval, day: float) -> Interval | None:
    """Return what of an interval counts since a day.

    Of a trap that stood before, only a catch: its empty nights may all have been the nights
    before, but what it caught may have been caught after, and leaving it out would call a house
    free too early.
    """
    if one.start >= day - 1e-9:
        return one
    nights = one.start + one.nights - day
    if not one.catches or nights <= 1e-9:
        return None
    ready = min(worked(nights, one.state), one.ready)
    return msgspec.structs.replace(
        one, start=day, nights=nights, ready=ready, shy=min(one.shy, ready)
    )


def _intervals(
    key: str, trap: Trap, checks: list[TrapCheck], lag: float, species: str
) -> list[Interval]:
    out, start, first = [], day_of(trap.at), day_of(trap.at)
    for one in checks:
        nights = max(day_of(one.at) - start, 0.0)
        # A trap that went away may have gone at once: it proves nothing.
        ready = 0.0 if one.state == "missing" else worked(nights, one.state)
        wary = min(max(first + lag - start, 0.0), ready)
        # Another animal than the one asked about is a catch of another kind: the trap worked.
        sought = one.state == "caught" and (not species or one.species in ("", species))
        count = one.count if sought else 0
        out.append(Interval(key, start, nights, ready, ready - wary * (1 - SHY_SHARE.value),
                            "other" if one.state == "caught" and not sought else one.state,
                            count))  # fmt: skip
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
    sprung, other, held = number("sprung"), number("other"), number("caught")
    both = None
    if whole - lost - (sprung + other + held) / 2 > 0:
        every, empty = (
            index(whole, catches, sprung_empty=sprung, other=other, lost=lost, convention=one,
                  with_catch=held)
            for one in CONVENTIONS
        )  # fmt: skip
        both = (every, empty)
    return Watching(
        tuple(found),
        sum(one.ready for one in found), catches, sprung, other, number("missing"),
        number("bait taken"), both, before,
    )  # fmt: skip


def rounds(intervals: Iterable[Interval]) -> tuple[Round, ...]:
    """Return catches and effort of each day on which traps were looked at, by time.

    Parameters
    ----------
    intervals : iterable of Interval
        What the traps did.
    """
    found: dict[int, list[float]] = {}
    for one in intervals:
        whole = found.setdefault(floor(one.start + one.nights), [0.0, 0.0])
        whole[0] += one.catches
        whole[1] += one.ready
    return tuple(Round(int(caught), nights) for _, (caught, nights) in sorted(found.items()))


def standing(job: Job) -> list[str]:
    """Return the ids of the traps that still stand: not taken up and not missing.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    entities = typed(job)
    gone = {one.trap for one in entities.values()
            if isinstance(one, TrapCheck) and (one.taken_up or one.state == "missing")}  # fmt: skip
    return [key for key, one in entities.items() if isinstance(one, Trap) and key not in gone]


class Task(msgspec.Struct, frozen=True):
    """One line of the next round."""

    what: str
    of: str
    """Id of the trap or of what was left."""
    why: str
    overdue: bool = False


def next_round(job: Job, today: date) -> tuple[Task, ...]:
    """Return what to do on the next round, what is overdue first.

    Traps to look at or to look for, bait to fetch, seals that are due.

    Parameters
    ----------
    job : Job
        A job without faults.
    today : datetime.date
        What day it is.
    """
    entities, now = typed(job), day_of(today.isoformat())
    checks = [one for one in entities.values() if isinstance(one, TrapCheck)]
    out: list[Task] = []
    for key, one in entities.items():
        if isinstance(one, BaitLeft) and not one.fetched_at:
            out.append(Task(f"fetch {one.what}", key, "left in the building; the label rules"))
        if isinstance(one, SealMade) and one.inspect_at and day_of(one.inspect_at) <= now:
            what = f"look at the seal of {closed_words(job, one)}"
            out.append(Task(what, key, f"due {one.inspect_at}"))
        if isinstance(one, Trap):
            mine = [each for each in checks if each.trap == key]
            out += _round_of(key, one, mine, now)
    return tuple(sorted(out, key=lambda one: (not one.overdue, one.what, one.of)))


def _round_of(key: str, trap: Trap, checks: list[TrapCheck], now: float) -> list[Task]:
    last = max(checks, key=lambda one: day_of(one.at), default=None)
    if last is not None and last.state == "missing":
        return [Task("look for the trap", key, "it was gone; an animal may lie with it")]
    if last is not None and last.taken_up:
        return []
    since = now - day_of(last.at if last else trap.at)
    late = since > STALE.value
    told = f"{'overdue: ' if late else ''}{max(since, 0):.0f} nights since"
    return [Task("look at the trap", key, told, late)]


def closed_words(job: Job, seal: SealMade) -> str:
    """Return what a seal closes in words: the name of an entry point, else the way's own key.

    Parameters
    ----------
    job : Job
        A job without faults.
    seal : SealMade
        The seal.
    """
    name = job.entities.get(seal.closes, {}).get("name")
    return str(name or seal.closes.replace("edge/", "edge: ", 1))

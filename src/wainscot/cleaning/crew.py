"""What a crew wrote of itself: who is in the work area, when they last gave word, fit tests, harm.

    for one in crew_log(job, now):
        one.words

It is a log and alarms nobody, least of all without signal: a person stands outside.

Limits: what was not written down is not known; the half hour between words is a judgement.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from wainscot.cleaning.applied import Applied
from wainscot.job import CrewEntry, Job, typed
from wainscot.sources import Cited, judged

CHECK_IN = judged(30.0, "min", "between two words to the person outside")
FIT_TEST = Cited(365.0, "day", "29 CFR 1910.134(f)(2)", "at least annually", "memory")
ALARMS_NOBODY = (
    "This log alarms nobody, least of all without signal: a person stands outside and calls for "
    "help."
)
_HARM = ("bite", "scratch", "splash", "unwell", "heat")


class CrewMember(msgspec.Struct, frozen=True):
    """What stands in the log of one person."""

    who: str
    inside_since: str
    """Empty where nobody is inside."""
    quiet: float | None
    """Since the last word of somebody who is inside. [min]"""
    overdue: bool
    fit_tested: bool
    """True where a fit test was seen within a year before their last entry."""
    harm: tuple[str, ...]
    words: tuple[str, ...]


class CleaningLog(msgspec.Struct, frozen=True):
    """What was applied and what the crew wrote, as ``wainscot applied --json`` prints it."""

    applied: tuple[Applied, ...]
    crew: tuple[CrewMember, ...]


def crew_log(job: Job, now: datetime) -> tuple[CrewMember, ...]:
    """Return what the log says of each person, by name.

    Parameters
    ----------
    job : Job
        A job without faults.
    now : datetime
        With its offset.
    """
    by_name: dict[str, list[CrewEntry]] = {}
    for one in typed(job).values():
        if isinstance(one, CrewEntry):
            by_name.setdefault(one.who, []).append(one)
    return tuple(_member(who, sorted(by_name[who], key=_at), now) for who in sorted(by_name))


def _at(one: CrewEntry) -> datetime:
    return datetime.fromisoformat(one.at)


def _member(who: str, entries: Sequence[CrewEntry], now: datetime) -> CrewMember:
    inside = ""
    for one in entries:
        if one.what in ("in", "out"):
            inside = one.at if one.what == "in" else ""
    last = _at(entries[-1])
    quiet = (now - last).total_seconds() / 60 if inside else None
    overdue = quiet is not None and quiet > CHECK_IN.value
    tests = [_at(one) for one in entries if one.what == "fit test"]
    tested = any(timedelta(0) <= last - at <= timedelta(days=FIT_TEST.value) for at in tests)
    harm = tuple(
        f"{one.what} at {one.at}" + (f": {one.note}" if one.note else "")
        for one in entries if one.what in _HARM
    )  # fmt: skip
    return CrewMember(who, inside, quiet, overdue, tested, harm, _words(
        who, inside, quiet, overdue=overdue, tested=tested, harm=harm,
    ))  # fmt: skip


def _words(
    who: str, inside: str, quiet: float | None, *, overdue: bool, tested: bool,
    harm: tuple[str, ...],
) -> tuple[str, ...]:  # fmt: skip
    told = []
    if quiet is not None:
        told.append(f"{who}: inside since {inside}, last word {quiet:.0f} min ago")
        if overdue:
            told.append(f"OVERDUE: call {who} now, and get help if no answer comes")
    else:
        told.append(f"{who}: not inside")
    if not tested:
        told.append(f"no fit test within a year is written down for {who}: no respirator counts")
    if harm:
        told += [*harm, "wash it at once, report it, see a doctor and say that it was rodents"]
    return tuple(told)

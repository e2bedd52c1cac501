"""Dates and times in a job: are they any, and can they be?

>>> [fault.code for fault in time_faults("2025-03-14T09:30", "entities.look.at")]
['bad-time']

A look that lies in days to come, or decades from every other, is most likely a year mistyped, and
one such year turns the verdict: how old a sign is counts.  What day it is is an argument.

Limits: the two days of grace and the twenty years are judgement.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any

from wainscot.errors import Fault, printable
from wainscot.job.entities import Job

TIMES = (
    "inspection.at", "call.at", "visit.at", "visit.next_at", "seal.at", "seal.inspect_at",
    "trap.at", "photo.at",
    "trap_check.at", "bait_left.at", "bait_left.fetched_at", "air_reading.at",
    "product_label.at", "tick.at",
    "closing_terms.at", "closing_terms.warranty_until", "signature.at", "closed.at", "callback.at",
)  # fmt: skip
"""Fields that hold a date, or a date and time."""

DATED = ("trap.at", "trap_check.at", "air_reading.at", "closed.at", "callback.at")
"""Of :data:`TIMES`, those that later steps count days from: they may not be empty."""

MOMENTS = ("application.at", "contact.at", "crew_log.at")
"""Fields that hold a date and time: minutes count there."""

GRACE = timedelta(days=2)
"""A look may lie so far after today: clocks and time zones differ. [days]"""

FAR = timedelta(days=20 * 365)
"""A look so far from today and from every other look is worth a warning. [days]"""

_EXAMPLES = "2025-03-14 or 2025-03-14T09:30:00+00:00"


def time_faults(text: str, path: str) -> Iterator[Fault]:
    """Yield a fault if a text is no date, or a time without its offset; empty text is no fault.

    Parameters
    ----------
    text : str
        As typed.
    path : str
        Its place in the job file.
    """
    moment = _moment(text)
    if moment is None and text:
        yield Fault("bad-time", path, f"{text!r} is not a time", f"write {_EXAMPLES}")
    elif moment is not None and moment.tzinfo is None and not is_date(text):
        what = f"{text!r} does not say how far its clock is from UTC"
        yield Fault("bad-time", path, what, f"write the date alone, or add the offset: {_EXAMPLES}")


def dated_faults(text: str, path: str) -> Iterator[Fault]:
    """Yield a fault if a text is empty, no date, or a time without its offset.

    Parameters
    ----------
    text : str
        As typed.
    path : str
        Its place in the job file.
    """
    if text:
        yield from time_faults(text, path)
    else:
        yield Fault("bad-time", path, "no day is given, and days count here", f"write {_EXAMPLES}")


def moment_faults(text: str, path: str) -> Iterator[Fault]:
    """Yield a fault if a text is no time of day with its offset; a date alone will not do.

    Parameters
    ----------
    text : str
        As typed.
    path : str
        Its place in the job file.
    """
    if not text or (_moment(text) is not None and is_date(text)):
        yield Fault("bad-time", path, f"{text!r} says no time of day, and minutes count here",
                    "write date and time, such as 2025-03-14T09:30:00+00:00")  # fmt: skip
    else:
        yield from time_faults(text, path)


def dates_to_come(job: Job, today: date) -> list[Fault]:
    """Return a fault for every inspection that lies after today, by more than :data:`GRACE`.

    Parameters
    ----------
    job : Job
        Any job.
    today : datetime.date
        What day it is.
    """
    return [
        Fault(
            "future-date", path, f"{typed!r} is still to come (today is {today.isoformat()})",
            "correct the year or the day; a visit to come is an entity of kind visit",
        )
        for path, typed, day in _looks(job)
        if day > today + GRACE
    ]  # fmt: skip


def far_dates(job: Job, today: date) -> list[Fault]:
    """Return a warning for every inspection :data:`FAR` from today and from all others.

    Parameters
    ----------
    job : Job
        Any job.
    today : datetime.date
        What day it is.
    """
    looks = _looks(job)
    found = []
    for path, typed, day in looks:
        others = [today, *(other for at, _, other in looks if at != path)]
        if min(abs(day - other) for other in others) > FAR:
            what = f"{typed!r} is decades from every other look"
            found.append(Fault("far-date", path, what, "check the year"))
    return found


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

    Raises
    ------
    ValueError
        If it is no date.
    """
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=UTC)
    return moment.timestamp() / 86400.0


def date_of(text: str) -> date | None:
    """Return the day of a date or time, by the clock that it was typed from; None if it is none.

    Parameters
    ----------
    text : str
        As typed in a job.
    """
    moment = _moment(text)
    return moment.date() if moment else None


def is_date(text: str) -> bool:
    """Return whether a text is a date alone, without a time of day.

    Parameters
    ----------
    text : str
        As typed in a job.
    """
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _looks(job: Job) -> list[tuple[str, str, date]]:
    """Path, text and day of every inspection whose time can be read."""
    found = []
    for key, entity in job.entities.items():
        typed = entity.get("at")
        day = _moment(typed) if entity.get("kind") == "inspection" else None
        if day is not None:
            found.append((f"entities.{printable(key)}.at", str(typed), day.date()))
    return found


def _moment(text: Any) -> datetime | None:
    try:
        return datetime.fromisoformat(text)
    except (TypeError, ValueError):
        return None

"""Whether a job is open, closed or called back, and how often: what a firm's own figures count.

how_it_stands(job).state    # "open", "closed" or "called back"
"""

from __future__ import annotations

from math import inf
from typing import Literal

import msgspec

from wainscot.job.entities import Job, typed
from wainscot.job.handed import Callback, Closed
from wainscot.job.times import date_of, day_of, is_date


class Standing(msgspec.Struct, frozen=True):
    """How a job stands."""

    state: Literal["open", "closed", "called back"]
    closed: tuple[Closed, ...]
    """Every closing, the oldest first."""
    callbacks: tuple[Callback, ...]
    """Every callback after a closing, the oldest first; one before any closing is none."""


def how_it_stands(job: Job) -> Standing:
    """Return how a job stands, by what is dated last; a callback on the day of closing reopens it.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    found = typed(job).values()
    closed = sorted((one for one in found if isinstance(one, Closed)), key=_moment)
    if not closed:
        return Standing("open", (), ())
    back = sorted((one for one in found if isinstance(one, Callback)
                   and _follows(one.at, closed[0].at)), key=_moment)  # fmt: skip
    again = any(_follows(one.at, closed[-1].at) for one in back)
    return Standing("called back" if again else "closed", tuple(closed), tuple(back))


def _moment(one: Closed | Callback) -> float:
    """[day], before everything where nothing that can be read is typed."""
    return day_of(one.at) if date_of(one.at) else -inf


def _follows(later: str, earlier: str) -> bool:
    """Say whether one time is no earlier than another: by day where either tells no time of day."""
    one, other = date_of(later), date_of(earlier)
    if one is None or other is None:
        return False
    if is_date(later) or is_date(earlier):
        return one >= other
    return day_of(later) >= day_of(earlier)

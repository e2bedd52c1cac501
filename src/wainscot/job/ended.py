"""Whether a job is open, closed or called back, and how often: what a firm's own figures count.

how_it_stands(job).state    # "open", "closed" or "called back"
"""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.job.entities import Job, typed
from wainscot.job.handed import Callback, Closed


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
    closed = sorted((one for one in found if isinstance(one, Closed)), key=lambda one: one.at)
    first = closed[0].at[:10] if closed else ""
    back = sorted((one for one in found if isinstance(one, Callback)
                   and closed and one.at[:10] >= first), key=lambda one: one.at)  # fmt: skip
    if not closed:
        return Standing("open", (), ())
    again = bool(back) and back[-1].at >= closed[-1].at
    return Standing("called back" if again else "closed", tuple(closed), tuple(back))

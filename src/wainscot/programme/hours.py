"""Working hours: from the slots that people work to the clock on the wall, and back.

Time runs in quarters of an hour.  ``t`` counts all of them from midnight of the first day, ``w``
only those that are worked; a working day holds the same number of them, whatever the date.

>>> week = working_hours("2026-11-30", 28, begins=32, days="mon tue", off="")
>>> week.clock(28), week.worked_before(24 * 4)  # the first slot of Tuesday; up to its midnight
(128, 28)

Limits: one working day for everybody, no breaks; clocks that are put forward or back are not
minded (an hour in a wait of nights).
"""

from __future__ import annotations

from bisect import bisect_left
from datetime import date, datetime, timedelta

import msgspec

from wainscot.book.team import WEEKDAYS

QUARTERS = 96
"""Slots of a day and night."""
MINUTES = 15
"""Of a slot. [min]"""
_YEARS = 4


class Hours(msgspec.Struct, frozen=True):
    """When people work, from the first day on."""

    first: str
    """The first day, midnight of which is t = 0."""
    begins: int
    """Slot of the day with which work begins."""
    day: int
    """Slots of a working day."""
    days: tuple[int, ...]
    """Days that are worked, counted from the first."""

    def clock(self, w: int) -> int:
        """Return when the worked slot w begins, as t. [slot]."""
        return self.days[w // self.day] * QUARTERS + self.begins + w % self.day

    def done(self, w: int) -> int:
        """Return when the slots before w are worked, as t: the same evening, not next morning."""
        return self.clock(w - 1) + 1 if w > 0 else 0

    def worked_before(self, t: int) -> int:
        """Return how many slots are worked before t: the first worked slot that begins then."""
        day, slot = divmod(t, QUARTERS)
        at = bisect_left(self.days, day)
        whole = at * self.day
        if at < len(self.days) and self.days[at] == day:
            return whole + min(max(slot - self.begins, 0), self.day)
        return whole

    def wall(self, t: int) -> datetime:
        """Return the time on the wall at t, without a zone."""
        return datetime.fromisoformat(self.first) + timedelta(minutes=MINUTES * t)


def working_hours(first: str, day: int, *, begins: int, days: str, off: str) -> Hours:
    """Return the working hours from a day on, for four years.

    Parameters
    ----------
    first : str
        A date.
    day : int
        Slots of a working day.
    begins : int
        Slot of the day with which work begins.
    days : str
        Days of the week, as ``mon tue``.
    off : str
        Dates on which nobody works.
    """
    start = date.fromisoformat(first)
    wanted = {WEEKDAYS.index(word) for word in days.split()}
    closed = {date.fromisoformat(word) for word in off.split()}
    worked = tuple(
        n
        for n in range(366 * _YEARS)
        if (on := start + timedelta(days=n)).weekday() in wanted and on not in closed
    )
    return Hours(first, min(begins, QUARTERS - day), day, worked)

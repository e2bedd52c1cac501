"""Who works when: crews and trades, hours on site, days, and what people wait for.

Limits: every default is a judgement; one working day for all trades, the same every day.
"""

from __future__ import annotations

import msgspec

from wainscot.sources import Cited, judged

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class Team(msgspec.Struct, frozen=True):
    """How many come, from when to when, and the waits that a firm knows of its own jobs."""

    crews: Cited = judged(1.0, "crews", "each of as many people as the business table says")
    finishers: Cited = judged(1.0, "people", "who close and make good")
    masons: Cited = judged(1.0, "people", "who take bricks out and put them back")
    electricians: Cited = judged(1.0, "people", "who look at cables that were laid open")
    begins: Cited = judged(8.0, "h", "hour of the day at which work on site begins")
    rounds_every: Cited = judged(3.0, "nights", "between two rounds of the traps")
    drying: Cited = judged(3.0, "day", "until wood that was wetted is dry enough to close")
    coat: Cited = judged(16.0, "h", "until the next coat goes on")
    days: str = "mon tue wed thu fri"
    """Days of the week on which people work."""
    off: str = ""
    """Days off, as dates: ``2026-12-25 2027-01-01``."""
    zone: str = ""
    """Time zone of the site, as the zone database names it: ``America/Chicago``."""

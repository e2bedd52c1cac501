"""Smell and moisture of each room over time: what they fall to, and whether something feeds them.

    for one in smells_of(job): one.words

Limits: those of ``signs.decay``.  A floor of a smell above its threshold after cleaning is a sign
in the diagnosis as well (``signs.floors``); moisture is none.
"""

from __future__ import annotations

import msgspec

from wainscot.job import Job
from wainscot.signs.decay import (
    FEWEST,
    Floor,
    Reading,
    cleaned_on,
    floor_of,
    readings_of,
    still_fed,
)  # fmt: skip
from wainscot.signs.decay import series_of as series
from wainscot.signs.floors import threshold_of


class Smell(msgspec.Struct, frozen=True):
    """The readings of one room and sort that may be compared, and what they come to."""

    room: str
    """Its id."""
    name: str
    of: str
    readings: tuple[Reading, ...]
    floor: Floor | None
    """None where the readings are too few, or tell no trend."""
    threshold: float | None
    """Below which nobody minds; None for moisture. [unit]"""
    fed: bool | None
    """Whether something still feeds it; None where the readings do not say."""
    cleaned: bool
    """Whether these are readings after a cleaning that somebody told of."""
    words: str


def smells_of(job: Job) -> tuple[Smell, ...]:
    """Return what the readings of every room come to.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    return tuple(_one(job, room, of) for room, of in series(job))


def _one(job: Job, room: str, of: str) -> Smell:
    cleaned = bool(cleaned_on(job, room))
    readings = readings_of(job, room, of, since_cleaning=cleaned)
    floor, limit = floor_of(readings), threshold_of(of)
    fed = None if limit is None else still_fed(floor, limit)
    name = str(job.entities.get(room, {}).get("name", room))
    told = f"{name}, {of}: {_told(readings, floor, limit, fed, cleaned)}"
    return Smell(room, name, of, readings, floor, limit, fed, cleaned, told)


def _told(
    readings: tuple[Reading, ...], floor: Floor | None, limit: float | None, fed: bool | None,
    cleaned: bool,
) -> str:  # fmt: skip
    if floor is None:
        return f"{len(readings)} readings in like air; from {FEWEST} on, as they fall, they tell"
    low, high = floor.interval
    falls = f"falls to {floor.floor:.2g} (95 % interval {low:.2g} to {high:.2g})"
    if limit is None:
        return falls
    if fed:
        after = "after cleaning, so it counts as a sign" if cleaned else "nobody told of a cleaning"
        return f"{falls}, above {limit:g}: something still feeds it; {after}"
    if fed is None:
        return f"{falls}, which does not say whether it ends below {limit:g}: go on reading"
    return f"{falls}, below {limit:g}: nothing feeds it"

"""Smell or moisture over time: does it fall to nothing, or to a floor that something still feeds?

    found = floor_of(readings_of(job, "kitchen", "odour")); found.floor, found.interval

Like is compared with like: readings under the windows and heating of the latest one, at an outdoor
temperature within :data:`LIKE` of it.  Readings are void while a product hides or makes a smell
(``smell.product_days`` of the rates), whichever reading told of the product.

Limits: one exponential with a floor; a source that dries and is wetted again is none.  The interval
takes the errors as alike and the curve as nearly straight within it.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np
from scipy.optimize import least_squares
from scipy.stats import t as student

from wainscot.arrays import Floats
from wainscot.job import AirReading, Job, day_of, typed
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.sources import judged

LIKE = judged(5.0, "K", "outdoor temperatures that count as alike")
FEWEST = 5
"""Readings in like conditions from which a floor is told."""


class Reading(msgspec.Struct, frozen=True):
    """One reading that counts."""

    day: float
    """Days since the first of January 1970, UTC. [day]"""
    value: float
    """In its own unit. [unit]"""


class Floor(msgspec.Struct, frozen=True):
    """What the readings fall to."""

    floor: float
    """[unit]"""
    interval: tuple[float, float]
    """95 %. [unit]"""
    time: float
    """In which the excess falls to 37 in 100. [day]"""
    used: int
    above: float = 0.0
    """How much more there was on the first day. [unit]"""
    first: float = 0.0
    """The first day, since the first of January 1970, UTC. [day]"""

    def at(self, day: Floats) -> Floats:
        """Return the curve at some days. [unit]

        Parameters
        ----------
        day : Floats
            Days since the first of January 1970, UTC. [day]
        """
        return np.asarray(self.floor + self.above * np.exp(-(day - self.first) / self.time))


def series_of(job: Job) -> tuple[tuple[str, str], ...]:
    """Return the rooms with readings, and of what: pairs of room id and sort, sorted.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    return tuple(sorted({(one.room, one.of) for one in _all(job)}))


def latest_of(job: Job) -> tuple[AirReading, ...]:
    """Return the latest reading of every room and sort.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    by_time = sorted(_all(job), key=lambda one: day_of(one.at))
    return tuple(one for _, one in sorted({(one.room, one.of): one for one in by_time}.items()))


def cleaned_on(job: Job, room: str) -> tuple[float, ...]:
    """Return the days on which a product was used in a room, as its readings tell. [day]

    Parameters
    ----------
    job : Job
        A job without faults.
    room : str
        Its id.
    """
    return tuple(sorted({day_of(one.at) - one.product_days for one in _all(job)
                         if one.room == room and one.product_days is not None}))  # fmt: skip


def readings_of(
    job: Job, room: str, of: str, *, since_cleaning: bool = False, rates: Rates = DEFAULT
) -> tuple[Reading, ...]:
    """Return the readings of a room that may be compared with its latest, by time.

    Parameters
    ----------
    job : Job
        A job without faults.
    room : str
        Its id.
    of : str
        ``odour``, ``ammonia ppm`` or ``moisture percent``.
    since_cleaning : bool
        Only those after the last product; none where nobody told of one.
    rates : Rates, optional
        The tables.
    """
    cleaned = cleaned_on(job, room)
    if since_cleaning and not cleaned:
        return ()
    hidden = rates.kind("smell").number("product_days")
    sound = [
        one
        for one in _all(job)
        if (one.room, one.of) == (room, of)
        and not any(-1e-9 <= day_of(one.at) - day < hidden - 1e-9 for day in cleaned)
        and not (since_cleaning and day_of(one.at) < cleaned[-1])
    ]
    if not sound:
        return ()
    last = max(sound, key=lambda one: day_of(one.at))
    alike = [one for one in sound if _alike(one, last)]
    found = [Reading(day_of(one.at), one.value) for one in alike]
    return tuple(sorted(found, key=lambda one: one.day))


def _all(job: Job) -> list[AirReading]:
    """Return every reading of smell and damp; those of the air itself say nothing of either."""
    air = ("temperature C", "humidity percent")
    return [one for one in typed(job).values()
            if isinstance(one, AirReading) and one.of not in air]  # fmt: skip


def _alike(one: AirReading, last: AirReading) -> bool:
    if one.windows != last.windows or one.heating != last.heating:
        return False
    if one.outside is None or last.outside is None:
        return one.outside is None and last.outside is None
    return abs(one.outside - last.outside) <= LIKE.value


def floor_of(readings: Sequence[Reading]) -> Floor | None:
    """Return what readings fall to, or None where they are too few or have no trend to tell it.

    Parameters
    ----------
    readings : sequence of Reading
        In like conditions.
    """
    if len(readings) < FEWEST:
        return None
    day = np.array([one.day for one in readings])
    value = np.array([one.value for one in readings])
    first = float(day[0])
    day = day - first
    span, size = float(day[-1]), max(float(np.ptp(value)), 1e-9)
    if span <= 0:
        return None

    def misfit(free: np.ndarray) -> np.ndarray:
        return np.asarray(free[0] + free[1] * np.exp(-day / free[2]) - value)

    start = (max(float(value.min()), 0.0), size, span / 3)
    found = least_squares(
        misfit, start, bounds=([0.0, 0.0, span / 50], [np.inf, np.inf, 5 * span]), loss="soft_l1",
        f_scale=max(0.1 * size, 1e-9),
    )  # fmt: skip
    left = len(readings) - 3
    normal = found.jac.T @ found.jac
    if np.linalg.cond(normal) > 1e12:
        return None
    error = float(np.sqrt(max(np.linalg.inv(normal)[0, 0] * 2 * found.cost / left, 0.0)))
    half = float(student.ppf(0.975, left)) * error
    floor = float(found.x[0])
    return Floor(
        floor, (max(floor - half, 0.0), floor + half), float(found.x[2]), len(readings),
        float(found.x[1]), first,
    )  # fmt: skip


def still_fed(found: Floor | None, threshold: float) -> bool | None:
    """Tell whether something still feeds it, or None where the readings do not say.

    Parameters
    ----------
    found : Floor or None
        What the readings fall to.
    threshold : float
        Below which nobody minds. [unit]
    """
    if found is None or found.interval[0] <= threshold < found.interval[1]:
        return None
    return found.interval[0] > threshold

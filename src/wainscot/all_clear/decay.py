"""Smell or moisture over time: does it fall to nothing, or to a floor that something still feeds?

    found = floor_of(readings_of(job, "kitchen", "odour")); found.floor, found.interval

Like is compared with like: readings under the windows and heating of the latest one, at an outdoor
temperature within :data:`LIKE` of it.  Readings within :data:`PRODUCT_DAYS` of a product are void.

Limits: one exponential with a floor; a source that dries and is wetted again is none.  The interval
takes the errors as alike and the curve as nearly straight within it.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np
from scipy.optimize import least_squares
from scipy.stats import t as student

from wainscot.all_clear.watching import day_of
from wainscot.job import AirReading, Job, typed
from wainscot.sources import judged

LIKE = judged(5.0, "K", "outdoor temperatures that count as alike")
PRODUCT_DAYS = judged(7.0, "day", "readings so soon after a product say nothing of the source")
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


def readings_of(job: Job, room: str, of: str) -> tuple[Reading, ...]:
    """Return the readings of a room that may be compared with its latest, by time.

    Parameters
    ----------
    job : Job
        A job without faults.
    room : str
        Its id.
    of : str
        ``odour``, ``ammonia ppm`` or ``moisture percent``.
    """
    sound = [
        one
        for one in typed(job).values()
        if isinstance(one, AirReading)
        and (one.room, one.of) == (room, of)
        and (one.product_days is None or one.product_days >= PRODUCT_DAYS.value)
    ]
    if not sound:
        return ()
    last = max(sound, key=lambda one: day_of(one.at))
    alike = [one for one in sound if _alike(one, last)]
    found = [Reading(day_of(one.at), one.value) for one in alike]
    return tuple(sorted(found, key=lambda one: one.day))


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
    day = day - day[0]
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
    return Floor(floor, (max(floor - half, 0.0), floor + half), float(found.x[2]), len(readings))


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

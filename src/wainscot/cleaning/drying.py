"""Drying wood to a limit before a wall is closed: what this air can reach, and when.

>>> round(equilibrium(294.26, 0.50), 1)
9.2

Equilibrium by the two-hydrate equation of Hailwood and Horrobin with the Wood Handbook's
coefficients (from a copy, in Celsius).  The way there is fitted to the job's own readings, for no
published time constant of framing was confirmed.

Limits: good near 0 to 60 C; near saturation the equation is loose; treated wood misleads meters.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import UTC, datetime

import msgspec
import numpy as np
from scipy.optimize import brentq
from scipy.special import stdtrit

from wainscot.access.model import DEFER, HoldPoint
from wainscot.air.asking import refuse
from wainscot.cleaning.applied import last_applied
from wainscot.cleaning.room_air import room_air
from wainscot.job import AirReading, Job, Release, Room, typed
from wainscot.sources import Cited

LIMITS = {
    "code": Cited(19.0, "%", "Oregon Residential Specialty Code R318.2", "framing", "read"),
    "programme": Cited(18.0, "%", "US DOE Building America Solution Center", "lumber", "read"),
    "extension": Cited(15.0, "%", "North Dakota State University Extension 2011", "", "read"),
    "margin": Cited(13.0, "%", "Nebraska Extension", "margin for the meter's error", "read"),
}
"""Moisture, per cent of dry weight, before closing."""
USUAL = LIMITS["extension"]
CIRCUITS = "circuits/wetting"
"""Key of the hold point that stands over what was wetted."""
CABLES = "cables"
"""Begins the key of the hold point over the cables of a room: ``cables/kitchen``."""
FEWEST = 3
"""Readings of one place that a forecast takes."""


def equilibrium(temperature: float, humidity: float) -> float:
    """Return the moisture that wood settles at in this air.

    Parameters
    ----------
    temperature : float
        [K]
    humidity : float
        Relative, 0 to 1. [1]

    Returns
    -------
    float
        Per cent of dry weight. [unit]

    Raises
    ------
    InputError
        If the humidity is no share, or the temperature is outside -10 to 100 C.
    """
    if not 0 <= humidity <= 1:
        raise refuse("humidity", f"{humidity:g} is no share of 1", "give 0 to 1")
    t, h = temperature - 273.15, humidity
    if not -10 <= t <= 100:
        raise refuse("temperature", f"{t:.0f} C is outside the equation", "check the unit")
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    one = 6.27 - 0.00938 * t - 0.000303 * t**2
    two = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    both = one * two * kh**2
    return 1800 / w * (kh / (1 - kh) + (one * kh + 2 * both) / (1 + one * kh + both))


def humidity_for(temperature: float, moisture: float) -> float:
    """Return the greatest humidity at which wood still gets to a moisture.

    Parameters
    ----------
    temperature : float
        [K]
    moisture : float
        Per cent of dry weight. [unit]

    Returns
    -------
    float
        Relative humidity; 1 where any air will do. [1]
    """
    if moisture <= 0:
        raise refuse("moisture", f"{moisture:g} % is never reached", "give more than zero")
    if equilibrium(temperature, 1.0) <= moisture:
        return 1.0
    return float(brentq(lambda h: equilibrium(temperature, h) - moisture, 0.0, 1.0))


class Reading(msgspec.Struct, frozen=True):
    """One reading of a meter at one place."""

    day: float
    """From any beginning. [day]"""
    moisture: float
    """Per cent of dry weight. [unit]"""


class Forecast(msgspec.Struct, frozen=True):
    """When a place gets to its limit."""

    target: float
    """Per cent of dry weight. [unit]"""
    settles_at: float
    """Equilibrium in this air. Per cent. [unit]"""
    reachable: bool
    day: float | None
    """Likely. [day]"""
    earliest: float | None
    """Nine times in ten not before. [day]"""
    latest: float | None
    """Nine times in ten not after; None where the readings do not say that it dries. [day]"""
    words: str


def forecast(
    readings: Sequence[Reading], temperature: float, humidity: float, target: float = USUAL.value
) -> Forecast:
    """Return the day on which a place gets to its limit, with its interval.

    Parameters
    ----------
    readings : sequence of Reading
        Of one place.
    temperature : float
        Of the air there. [K]
    humidity : float
        Of the air there, 0 to 1. [1]
    target : float
        Limit, per cent of dry weight. [unit]

    Raises
    ------
    InputError
        If a reading cannot be.

    Notes
    -----
    Moisture less equilibrium falls as an exponential once the surface has dried (the one-term form
    of slab theory, Crank; good from Fo 0.2).  Its logarithm is fitted by a straight line; the
    interval is the line's own (Fieller would be wider with few readings).
    """
    for one in readings:
        if not (math.isfinite(one.day) and 0 < one.moisture < 200):
            raise refuse("readings", f"{one.moisture:g} % is no reading", "read the meter again")
    settles = equilibrium(temperature, humidity)
    if settles >= target:
        most = humidity_for(temperature, target)
        return Forecast(
            target, settles, False, None, None, None,
            f"in this air wood settles at {settles:.1f} %: {target:g} % is never reached; bring "
            f"the air to {100 * most:.0f} % or drier",
        )  # fmt: skip
    ordered = sorted(readings, key=lambda one: one.day)
    if ordered and ordered[-1].moisture <= target:
        last = ordered[-1].day
        return Forecast(target, settles, True, last, last, last, "the last reading is at the limit")
    # Drier than the air allows is the meter's error; such a reading says nothing of the pace.
    of_use = [one for one in ordered if one.moisture > settles]
    days = np.array([one.day for one in of_use])
    if len(of_use) < FEWEST or np.ptp(days) == 0:
        return Forecast(target, settles, True, None, None, None,
                        f"take {FEWEST} readings on different days to say when")  # fmt: skip
    return _fitted(days, np.log([one.moisture - settles for one in of_use]), target, settles)


def _fitted(days: np.ndarray, left: np.ndarray, target: float, settles: float) -> Forecast:
    middle, height, goal = days.mean(), left.mean(), math.log(target - settles)
    off, count = days - middle, len(days)
    line = float(off @ left / (off @ off))
    residual = left - height - line * off
    error = math.sqrt(float(residual @ residual) / (count - 2) / float(off @ off))
    wide = float(stdtrit(count - 2, 0.95)) * error

    def when(slope: float) -> float | None:
        return float(middle + (goal - height) / slope) if slope < 0 else None

    day, early, late = when(line), when(line - wide), when(line + wide)
    if day is None:
        return Forecast(target, settles, True, None, None, None,
                        "the readings do not fall: find what keeps it wet")  # fmt: skip
    after = "" if late is not None else "; how long at most the readings do not yet say"
    until = f" to {late:.0f}" if late is not None else ""
    return Forecast(
        target, settles, True, day, early, late,
        f"day {day:.0f}, nine times in ten {early:.0f}{until}{after}; the meter decides",
    )  # fmt: skip


def may_close(
    readings: Sequence[Reading], *, cables_checked: bool, holds_open: Sequence[str],
    target: float = USUAL.value,
) -> tuple[str, ...]:  # fmt: skip
    """Return what still bars closing a wall or sealing a surface; empty if nothing does.

    Parameters
    ----------
    readings : sequence of Reading
        The last of every place counts; none at all bars.
    cables_checked : bool
        True where somebody has looked at every cable for gnawing.
    holds_open : sequence of str
        Hold points that nobody has released.
    target : float
        Limit, per cent of dry weight. [unit]
    """
    bars = []
    if not readings:
        bars.append("no moisture reading: read it before closing or sealing")
    wet = [one.moisture for one in readings if one.moisture > target]
    if wet:
        bars.append(f"{max(wet):.1f} % is over the limit of {target:g} %: dry on")
    if not cables_checked:
        bars.append(NOT_LOOKED_AT)
    bars += [sign_first(one) for one in holds_open]
    return tuple(bars)


NOT_LOOKED_AT = "cables not looked at: a gnawed cable must not be closed in"


def sign_first(hold: str) -> str:
    """Return how an open hold point bars closing, by its key."""
    return f"STOP {hold}: sign first"


class Barred(msgspec.Struct, frozen=True):
    """One of the bars that a signature takes away."""

    bar: str
    """As it stands among the bars of the room."""
    hold: HoldPoint


class Closing(msgspec.Struct, frozen=True):
    """Whether what was wet in one room may be closed."""

    room: str
    forecast: Forecast
    """Its day counts from the first reading of the room."""
    bars: tuple[str, ...]
    """What still bars closing; empty if nothing does."""
    air: str
    """What air the forecast stands on: read, or assumed."""
    signed_away: tuple[Barred, ...] = ()
    """Those of the bars that are hold points of this room."""


def cables_hold(room: str) -> HoldPoint:
    """Return the hold point over the cables of a room that is to be closed again.

    Parameters
    ----------
    room : str
        Its id.
    """
    return HoldPoint(
        key=f"{CABLES}/{room}", hazard="gnawed cables", standing="stop",
        words=f"A gnawed cable that is closed in can start a fire that nobody sees. {DEFER}",
        first="look at every cable in what was opened along its whole length; what is gnawed is "
        "made anew before anything is closed",
        who="a licensed electrician", evidence="each cable by name: whole, or made anew; photo",
        source="common practice, no source",
    )  # fmt: skip


def closings(
    job: Job, temperature: float | None = None, humidity: float | None = None,
    target: float = USUAL.value, *, cables_checked: bool = False,
) -> tuple[Closing, ...]:  # fmt: skip
    """Return, room by room, when it is dry and what bars closing, from the job's own readings.

    Parameters
    ----------
    job : Job
        With readings (kind ``air_reading``, of ``moisture percent``) in it.
    temperature : float, optional
        Of the air there; as the job has it (:func:`room_air`) where it is left out. [K]
    humidity : float, optional
        Of the air there, 0 to 1; likewise. [1]
    target : float
        Limit, per cent of dry weight. [unit]
    cables_checked : bool
        True where somebody has looked at every cable for gnawing; else a room counts as looked at
        once its hold point (:func:`cables_hold`) is signed.

    Raises
    ------
    InputError
        If the limit, the air or a reading cannot be.

    Notes
    -----
    What was wetted stands under its circuits' hold point until somebody releases it.
    """
    if not 0 < target < 100:
        raise refuse("target", f"{target:g} % is no limit that wood is dried to", "give 15")
    entities = typed(job)
    signed = (one for one in entities.values() if isinstance(one, Release))
    said = {one.hold for one in signed if one.by and one.evidence}
    by_room: dict[str, list[tuple[datetime, float]]] = {}
    for one in entities.values():
        if isinstance(one, AirReading) and one.of == "moisture percent":
            at = datetime.fromisoformat(one.at)
            at = at if at.tzinfo else at.replace(tzinfo=UTC)
            by_room.setdefault(one.room, []).append((at, one.value))
    found = []
    tried = last_applied(job)
    for room, timed in sorted(by_room.items()):
        first = min(at for at, _ in timed)
        readings = sorted(
            (Reading((at - first).total_seconds() / 86_400, value) for at, value in timed),
            key=lambda one: one.day,
        )
        cables = cables_hold(room)
        looked = cables_checked or cables.key in said
        bars = may_close(
            readings[-1:], cables_checked=looked, target=target,
            holds_open=[] if CIRCUITS in said else [CIRCUITS],
        )  # fmt: skip
        bars += tuple(f"{one.place}: {one.words}" for one in tried
                      if one.room == room and one.standing != "done")  # fmt: skip
        drawn = entities.get(room)
        name = drawn.name if isinstance(drawn, Room) else room
        read = room_air(job, [room])
        warm = read.temperature if temperature is None else temperature
        damp = read.humidity if humidity is None else humidity
        found.append(Closing(
            name, forecast(readings, warm, damp, target), bars,
            read.words if temperature is None and humidity is None else "",
            () if looked else (Barred(NOT_LOOKED_AT, cables),),
        ))  # fmt: skip
    return tuple(found)

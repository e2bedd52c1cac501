"""Lengths that a pencil can follow: rounded to what a tape shows, in feet and inches and in metric.

    both(0.4127, "m", PENCIL)        # ("415 mm", '1\\'-4 1/4"')

Each system is rounded by itself, from the exact length, so that neither carries the other's error.

Limits: a rounded length is no measured one; what is not measured is not made exact by it.
"""

from __future__ import annotations

import math
import re
from typing import Literal

import msgspec

from wainscot.quantity import INCH, Units, show_length

Way = Literal["nearest", "up", "down"]

_HAIR = 1e-6
"""What lies on a mark of the tape to within this stays there. [m]"""


class Grain(msgspec.Struct, frozen=True):
    """How fine positions are told."""

    parts: int
    """Parts of an inch."""
    step: float
    """Metric step. [m]"""


PENCIL = Grain(8, 0.005)
"""A pencil mark on a wall: 1/8 in, 5 mm."""
BELOW = Grain(16, 0.001)
"""A cut from below: 1/16 in, 1 mm."""


def rounded(value: float, units: Units, grain: Grain, way: Way = "nearest") -> float:
    """Return a length on the nearest mark of the tape.

    Parameters
    ----------
    value : float
        The exact length. [m]
    units : {"ft-in", "m"}
        Which tape.
    grain : Grain
        How fine.
    way : {"nearest", "up", "down"}
        Where it goes.

    Returns
    -------
    float
        [m]

    >>> round(rounded(0.4127, "m", PENCIL, "down"), 6)
    0.41
    """
    step = float(INCH) / grain.parts if units == "ft-in" else grain.step
    if way == "up":
        return math.ceil((value - _HAIR) / step) * step
    if way == "down":
        return math.floor((value + _HAIR) / step) * step
    return round(value / step) * step


def inwards(low: float, high: float, units: Units, grain: Grain) -> tuple[float, float]:
    """Return both ends of a cut on marks of the tape, never outside of it. [m]

    What was judged is the exact cut; the rounded one must not go past it.

    Parameters
    ----------
    low, high : float
        Exact ends, as distances from the datum. [m]
    units : {"ft-in", "m"}
        Which tape.
    grain : Grain
        How fine.
    """
    return rounded(low, units, grain, "up"), rounded(high, units, grain, "down")


def between(low: float, high: float, units: Units, grain: Grain) -> tuple[str, str]:
    """Return how long a cut is as it is marked out, on the reader's tape, then on the other.

    Parameters
    ----------
    low, high : float
        Exact ends, as distances from the datum. [m]
    units : {"ft-in", "m"}
        The reader's tape.
    grain : Grain
        How fine.
    """
    told = []
    for tape in (units, other(units)):
        start, stop = inwards(low, high, tape, grain)
        told.append(shown(stop - start, tape, grain))
    return told[0], told[1]


def shown(value: float, units: Units, grain: Grain) -> str:
    """Return a rounded length as the tape reads: ``1265 mm``, ``4'-1 3/4"``.

    Parameters
    ----------
    value : float
        On a mark of the tape. [m]
    units : {"ft-in", "m"}
        Which tape.
    grain : Grain
        How fine.
    """
    if units == "ft-in":
        # 4'-1/2" could be read as four feet less something.
        return re.sub(r"'-(\d+/)", r"'-0 \1", show_length(value, "ft-in", grain.parts))
    return f"{round(value * 1000)} mm"


def other(units: Units) -> Units:
    """Return the other tape."""
    return "m" if units == "ft-in" else "ft-in"


def both(value: float, units: Units, grain: Grain, way: Way = "nearest") -> tuple[str, str]:
    """Return a length on the reader's tape, then on the other.

    Parameters
    ----------
    value : float
        The exact length. [m]
    units : {"ft-in", "m"}
        The reader's tape.
    grain : Grain
        How fine.
    way : {"nearest", "up", "down"}
        Where it is rounded to.
    """
    second = other(units)
    return (
        shown(rounded(value, units, grain, way), units, grain),
        shown(rounded(value, second, grain, way), second, grain),
    )

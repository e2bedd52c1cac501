"""How much air must be drawn out of a work area, by how many units, and how long a purge takes.

>>> round(purge_minutes(6, 0.99))
46
>>> units_for(1200, 600)
2
"""

from __future__ import annotations

import math
from typing import Literal

import msgspec

from wainscot.air import Leak
from wainscot.air.asking import positive, share
from wainscot.air.asking import refuse as refused
from wainscot.sources import Cited, judged

CHANGES = Cited(4.0, "1/h", "Minnesota Rules 4620.3570 subp. 4", "at least 4 an hour", "read")
PRESSURE = Cited(
    0.02 * 249.089, "Pa", "Minnesota Rules 4620.3570; US guide specification UFGS",
    "0.02 in of water below the rooms beside it", "read",
)  # fmt: skip
DERATE = Cited(0.75, "1", "common practice", "flow that is left as the filter loads",
               "common practice")  # fmt: skip
UNIT = judged(0.28, "m3/s", "a usual portable exhaust unit, about 600 ft3/min on its plate")
MIXING = judged(3.0, "1", "CDC's table is for perfect mixing, 1; it may be as high as 10")
EFFICIENCY = 0.99


class Exhaust(msgspec.Struct, frozen=True):
    """What to draw out, and what governs it."""

    by_changes: float
    """Flow that the air changes ask for. [m3/s]"""
    by_leakage: float
    """Flow that the leaks let in at the wanted pressure. [m3/s]"""
    flow: float
    """The greater of the two. [m3/s]"""
    governs: Literal["air changes", "leakage"]
    usable: float
    """What one unit gives once its filter has loaded. [m3/s]"""
    units: int
    changes: float
    """Changes an hour with all units at what is usable. [1/h]"""
    stack_wins: bool
    """True where the pull of the warm house is greater than the wanted pressure."""
    warnings: tuple[str, ...]


def purge_minutes(changes: float, efficiency: float, mixing: float = 1.0) -> float:
    """Return how long a purge takes: -ln(1 - efficiency) / changes, times the mixing factor.

    Parameters
    ----------
    changes : float
        Air changes. [1/h]
    efficiency : float
        Share to be removed, between 0 and 1. [1]
    mixing : float
        1 for perfect mixing, up to 10. [1]

    Returns
    -------
    float
        Time, once nothing is stirred up any more. [min]

    Raises
    ------
    InputError
        If a value cannot be.
    """
    if mixing < 1 or not math.isfinite(mixing):
        raise refused("mixing", f"{mixing:g} is better than perfect mixing", "give 1 to 10")
    rate = positive("changes", changes)
    return -math.log(1 - share("efficiency", efficiency)) / rate * 60 * mixing


def units_for(flow: float, usable: float) -> int:
    """Return how many units give a flow; an exact multiple needs no unit more.

    Parameters
    ----------
    flow : float
        What is wanted. [unit]
    usable : float
        What one unit gives, in the same unit. [unit]

    Raises
    ------
    InputError
        If a value is not above zero.
    """
    ratio = positive("flow", flow) / positive("usable", usable)
    return math.ceil(ratio * (1 - 1e-9))


def exhaust(
    volume: float,
    leak: Leak,
    *,
    changes: float = CHANGES.value,
    pressure: float = PRESSURE.value,
    unit: float = UNIT.value,
    derate: float = DERATE.value,
    stack: float = 0.0,
) -> Exhaust:
    """Return the exhaust of a work area.

    Parameters
    ----------
    volume : float
        Of the work area. [m3]
    leak : Leak
        Its own leaks, to the rooms beside it and outdoors.
    changes : float
        Air changes wanted. [1/h]
    pressure : float
        Wanted below the rooms beside it. [Pa]
    unit : float
        Flow on a unit's plate. [m3/s]
    derate : float
        Share of it that is left as the filter loads. [1]
    stack : float
        Greatest pull of the warm house at the work area, either way. [Pa]

    Raises
    ------
    InputError
        If a value cannot be.
    """
    by_changes = positive("volume", volume) * positive("changes", changes) / 3600
    by_leakage = leak.flow(positive("pressure", pressure))
    flow = max(by_changes, by_leakage)
    if derate > 1:
        raise refused("derate", f"{derate:g} is more than the plate says", "give 0.75 for 75 %")
    usable = positive("unit", unit) * positive("derate", derate)
    units = units_for(flow, usable)
    wins = abs(stack) >= pressure
    warnings = list(leak.warnings)
    if wins:
        warnings.append(
            f"the pull of the warm house, {abs(stack):.1f} Pa, is as strong as the {pressure:.1f} "
            "Pa wanted: watch a manometer at the lowest and the highest leak, seal the house's "
            "upper leaks, or draw more"
        )
    return Exhaust(
        by_changes, by_leakage, flow, "air changes" if by_changes >= by_leakage else "leakage",
        usable, units, units * usable / volume * 3600, wins, tuple(warnings),
    )  # fmt: skip

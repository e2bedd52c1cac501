"""Limits of what is breathed, who sets them, what a respirator does, and when a room is safe again.

>>> maximum_use(LIMITS["ozone"][0], 10)
1.0

Every limit names the body that sets it and whether it is in force.  For a gas that somebody has
already chosen under its label this gives the time that ventilation takes; it recommends none.

Limits: an air-purifying respirator is worth its factor only with the right cartridge, fitted and
fit tested; a calculated time never replaces the reading of a meter.
"""

from __future__ import annotations

import math

import msgspec

from wainscot.air.asking import positive, refuse
from wainscot.errors import InputError, unknown_word
from wainscot.sources import Status

MOLAR = 24.45
"""Litres that a mole of gas fills at 25 C and 760 torr, as the printed limits use it. [L]"""


class Limit(msgspec.Struct, frozen=True):
    """One limit of one substance by one body."""

    substance: str
    body: str
    kind: str
    """``8 h``, ``15 min``, ``ceiling`` or ``IDLH`` (danger to life at once)."""
    ppm: float
    """[ppm]"""
    in_force: bool
    source: str
    status: Status


MASS = {
    "chlorine dioxide": 67.452,
    "ozone": 47.998,
    "ammonia": 17.031,
    "hydrogen peroxide": 34.015,
    "chlorine": 70.906,
}
"""[g/mol]"""


def _rows(substance: str, *rows: tuple[str, str, float, bool, str, Status]) -> tuple[Limit, ...]:
    return tuple(Limit(substance, *row) for row in rows)


_Z1 = "29 CFR 1910.1000 Table Z-1"
_1989 = "OSHA rule of 1989, set aside by the court"
LIMITS: dict[str, tuple[Limit, ...]] = {
    "chlorine dioxide": _rows(
        "chlorine dioxide",
        ("OSHA", "8 h", 0.1, True, _Z1, "read"),
        ("NIOSH", "10 h", 0.1, False, "NIOSH 10049-04-4", "read"),
        ("NIOSH", "15 min", 0.3, False, "NIOSH 10049-04-4", "read"),
        ("OSHA", "15 min", 0.3, False, _1989, "read"),
        ("NIOSH", "IDLH", 5.0, False, "NIOSH 10049-04-4 (formerly 10)", "read"),
    ),
    "ozone": _rows(
        "ozone",
        ("OSHA", "8 h", 0.1, True, _Z1, "read"),
        ("NIOSH", "ceiling", 0.1, False, "NIOSH 10028-15-6", "read"),
        ("OSHA", "15 min", 0.3, False, _1989, "read"),
        ("NIOSH", "IDLH", 5.0, False, "NIOSH (formerly 10)", "second-hand"),
    ),
    "ammonia": _rows(
        "ammonia",
        ("OSHA", "8 h", 50.0, True, _Z1, "second-hand"),
        ("NIOSH", "10 h", 25.0, False, "state agriculture page", "second-hand"),
        ("NIOSH", "15 min", 35.0, False, "state agriculture page", "second-hand"),
        ("NIOSH", "IDLH", 300.0, False, "state agriculture page", "second-hand"),
    ),
    "hydrogen peroxide": _rows(
        "hydrogen peroxide",
        ("OSHA", "8 h", 1.0, True, _Z1, "second-hand"),
        ("NIOSH", "10 h", 1.0, False, "AIHA notice 2023", "second-hand"),
        ("NIOSH", "IDLH", 75.0, False, "AIHA notice 2023", "second-hand"),
    ),
    "chlorine": _rows(
        "chlorine",
        ("OSHA", "ceiling", 1.0, True, _Z1, "read"),
        ("NIOSH", "15 min", 0.5, False, "NIOSH 7782-50-5", "read"),
        ("NIOSH", "IDLH", 10.0, False, "read as 30 in the first list, 10 from memory", "memory"),
    ),
}
"""By substance; ``in_force`` is law in the United States, the others are advice or set aside."""

APF = "29 CFR 1910.134(d)(3)(i)(A) Table 1, read in a copy"
PROTECTION: dict[str, dict[str, int]] = {
    "air purifying": {"quarter": 5, "half": 10, "full": 50},
    "powered": {"half": 50, "full": 1000, "hood": 25, "loose": 25},
    "supplied, demand": {"half": 10, "full": 50},
    "supplied, continuous": {"half": 50, "full": 1000, "hood": 25, "loose": 25},
    "supplied, pressure demand": {"half": 50, "full": 1000},
    "own air, demand": {"half": 10, "full": 50, "hood": 50},
    "own air, pressure demand": {"full": 10_000, "hood": 10_000},
}
"""Assigned protection factors; a hood has 1000 only on its maker's evidence."""


def milligrams(substance: str, ppm: float) -> float:
    """Return a concentration by mass.

    Parameters
    ----------
    substance : str
        One of :data:`MASS`.
    ppm : float
        By volume, at 25 C and 760 torr. [ppm]

    Returns
    -------
    float
        [mg/m3]
    """
    return ppm * _mass(substance) / MOLAR


def parts(substance: str, mass: float) -> float:
    """Return a concentration by volume.

    Parameters
    ----------
    substance : str
        One of :data:`MASS`.
    mass : float
        [mg/m3]

    Returns
    -------
    float
        [ppm]
    """
    return mass * MOLAR / _mass(substance)


def _mass(substance: str) -> float:
    if substance not in MASS:
        raise InputError([unknown_word("air-value", "substance", "gas", substance, MASS)])
    return MASS[substance]


def limit_for(substance: str, kind: str = "") -> Limit:
    """Return the limit in force.

    Parameters
    ----------
    substance : str
        One of :data:`LIMITS`.
    kind : str
        ``IDLH`` for the danger to life at once; the limit in force if empty.

    Raises
    ------
    InputError
        If nobody set such a limit.
    """
    _mass(substance)
    for one in LIMITS[substance]:
        if one.kind == kind or (not kind and one.in_force):
            return one
    raise refuse("limit", f"no {kind} limit is known for {substance}", "ask who may say")


def shift(*spells: tuple[float, float]) -> float:
    """Return what was breathed over a shift, E = sum(C T) / 8 h (29 CFR 1915.1000(d)).

    Parameters
    ----------
    *spells : tuple of float
        Concentration [ppm] and time [h].

    Returns
    -------
    float
        Mean over eight hours. [ppm]
    """
    return math.fsum(concentration * hours for concentration, hours in spells) / 8


def mixture(concentrations: dict[str, float]) -> float:
    """Return the sum of shares of the limits in force; over 1 is too much (from memory).

    Parameters
    ----------
    concentrations : dict of str to float
        By substance. [ppm]

    Returns
    -------
    float
        [1]
    """
    return math.fsum(value / limit_for(name).ppm for name, value in concentrations.items())


def maximum_use(limit: Limit, factor: float) -> float:
    """Return the greatest concentration a respirator may be used in: factor x limit, IDLH at most.

    Parameters
    ----------
    limit : Limit
        The limit that binds.
    factor : float
        Assigned protection factor. [1]

    Returns
    -------
    float
        [ppm]
    """
    return min(factor * limit.ppm, limit_for(limit.substance, "IDLH").ppm)


class Reentry(msgspec.Struct, frozen=True):
    """When a treated space may be measured, and on what it may be entered."""

    minutes: float
    """Until the calculated concentration is at the limit. [min]"""
    limit: Limit
    decay: float
    """That was counted on beside ventilation. [1/h]"""
    words: tuple[str, ...]


def reentry(substance: str, start: float, changes: float, *, decay: float | None = None) -> Reentry:
    """Return the time that a gas already chosen under its label takes to reach its limit.

    Parameters
    ----------
    substance : str
        One of :data:`LIMITS`.
    start : float
        Concentration at the beginning. [ppm]
    changes : float
        Air changes. [1/h]
    decay : float, optional
        Loss beside ventilation; none unless somebody measured it: no indoor figure for chlorine
        dioxide was found, and that for ozone, 2.80 +- 1.30,
        is of 43 living rooms (Lee et al. 1999, abstract read). [1/h]

    Raises
    ------
    InputError
        If a value cannot be, or nothing at all takes the gas away.
    """
    limit = limit_for(substance)
    lost = positive("decay", decay or 0.0, zero=True)
    positive("start", start)
    rate = positive("changes", changes, zero=True) + lost
    if rate == 0:
        raise refuse("changes", "nothing takes the gas away", "open windows or run an exhaust")
    minutes = max(0.0, math.log(start / limit.ppm) / rate * 60)
    return Reentry(minutes, limit, lost, (
        "Nobody and no animal inside until a person in the right respirator has read a meter for "
        f"{substance} at {limit.ppm:g} ppm or less in every room, twice, a quarter of an hour "
        "apart with the fans off: porous things give gas back (common practice, no source).",
        "The label and local code come before this figure; it says when to measure, not when "
        "to enter.",
    ))  # fmt: skip

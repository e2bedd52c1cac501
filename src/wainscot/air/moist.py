"""Moist air, by psychrolib (ASHRAE Fundamentals 2017, chapter 1).

>>> round(moist(293.15, 0.5).dew_point - 273.15, 2)
9.27

Relative humidity is typed with its unit: ``50 %`` or ``0.5 of 1``; a bare number is asked about and
never guessed, for 0.6 may be a fraction or a very dry percent.

Limits: over water down to 0 C; a wet film's drying is in ``cleaning``.
"""

from __future__ import annotations

import re

import msgspec
import psychrolib

from wainscot.air.asking import positive, refuse
from wainscot.air.stack import ATMOSPHERE
from wainscot.errors import Fault, InputError

psychrolib.SetUnitSystem(psychrolib.SI)

_ZERO = 273.15
_HUMIDITY = re.compile(r"\s*(\d+\.?\d*|\.\d+)\s*(%|percent|of 1)\s*")


class MoistAir(msgspec.Struct, frozen=True):
    """Air with what water it holds."""

    temperature: float
    """[K]"""
    humidity: float
    """Relative. [1]"""
    pressure: float
    """Absolute. [Pa]"""
    vapour: float
    """Partial pressure of the water in it. [Pa]"""
    saturation: float
    """The greatest it could be. [Pa]"""
    ratio: float
    """Water to dry air, by mass. [1]"""
    dew_point: float
    """[K]"""
    wet_bulb: float
    """[K]"""


def humidity(typed: str | float) -> float:
    """Return a relative humidity as typed.

    Parameters
    ----------
    typed : str or float
        ``"50 %"`` or ``"0.5 of 1"``. [1]

    Returns
    -------
    float
        Between 0 and 1. [1]

    Raises
    ------
    InputError
        If it has no unit, or lies outside 0 to 100 %.
    """
    match = _HUMIDITY.fullmatch(typed) if isinstance(typed, str) else None
    if match is None:
        raise InputError([
            Fault("humidity-unclear", "humidity", f"{typed!r} may be a fraction or a percentage",
                  "write '50 %', or '0.5 of 1'")
        ])  # fmt: skip
    number, unit = float(match.group(1)), match.group(2)
    value = number if unit == "of 1" else number / 100
    if not 0 <= value <= 1:
        raise refuse("humidity", f"{typed} is more than air can hold", "give 0 to 100 %")
    return value


def moist(temperature: float, relative: float, pressure: float = ATMOSPHERE) -> MoistAir:
    """Return what air of this temperature and humidity is like.

    Parameters
    ----------
    temperature : float
        [K]
    relative : float
        Relative humidity, 0 to 1. [1]
    pressure : float
        Absolute. [Pa]

    Raises
    ------
    InputError
        If a value lies outside what the formulas hold for (-40 to 100 C).
    """
    celsius = temperature - _ZERO
    positive("air.pressure", pressure)
    if not -40 <= celsius <= 100:
        raise refuse("air", f"{celsius:.0f} C is no air that people work in", "check the unit")
    if not 0 <= relative <= 1:
        raise refuse("humidity", f"{relative:g} is no share of 1", "give 0 to 1")
    vapour = psychrolib.GetVapPresFromRelHum(celsius, relative)
    # The dew point of air without water is nowhere; a trace stands in for none.
    dew = psychrolib.GetTDewPointFromRelHum(celsius, max(relative, 1e-4))
    wet = psychrolib.GetTWetBulbFromRelHum(celsius, relative, pressure)
    return MoistAir(
        temperature, relative, pressure, vapour, psychrolib.GetSatVapPres(celsius),
        psychrolib.GetHumRatioFromRelHum(celsius, relative, pressure), dew + _ZERO, wet + _ZERO,
    )  # fmt: skip


def altitude_pressure(height: float) -> float:
    """Return the pressure of the standard atmosphere.

    Parameters
    ----------
    height : float
        Above the sea. [m]

    Returns
    -------
    float
        Absolute. [Pa]
    """
    return float(psychrolib.GetStandardAtmPressure(height))

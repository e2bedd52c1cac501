"""What a difference in temperature drives: warm air is lighter, and a column of it pulls.

>>> round(stack_pressure(5.0, outside=273.15, inside=293.15), 3)
4.323
"""

from __future__ import annotations

from wainscot.air.asking import positive

GRAVITY = 9.80665
"""Standard, exact by definition. [m/s2]"""
GAS = 287.042
"""Gas constant of dry air. [J/(kg K)]"""
ATMOSPHERE = 101_325.0
"""Standard, at sea level. [Pa]"""


def density(temperature: float, pressure: float = ATMOSPHERE) -> float:
    """Return the density of dry air.

    Parameters
    ----------
    temperature : float
        [K]
    pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        Density. [kg/m3]
    """
    return pressure / (GAS * positive("temperature", temperature))


def stack_pressure(
    height: float, *, outside: float, inside: float, pressure: float = ATMOSPHERE
) -> float:
    """Return the pressure inside less outside at a height above the neutral level.

    Parameters
    ----------
    height : float
        Above the neutral level. [m]
    outside, inside : float
        Temperatures. [K]
    pressure : float
        Absolute pressure of the air. [Pa]

    Returns
    -------
    float
        Positive: outward, as at the top of a warm house. [Pa]
    """
    return GRAVITY / GAS * pressure * height * _lighter(outside, inside)


def stack_by_rule(
    height: float, *, outside: float, inside: float, pressure: float = ATMOSPHERE
) -> float:
    """Return the same by the printed constant, 0.0342 p h (1/To - 1/Ti) (second-hand).

    Parameters
    ----------
    height, outside, inside, pressure : float
        As in :func:`stack_pressure`. [m], [K], [Pa]

    Returns
    -------
    float
        [Pa]
    """
    return 0.0342 * pressure * height * _lighter(outside, inside)


def _lighter(outside: float, inside: float) -> float:
    """By how much the air inside is the lighter, over pressure and gas constant. [1/K]"""
    return 1 / positive("outside", outside) - 1 / positive("inside", inside)

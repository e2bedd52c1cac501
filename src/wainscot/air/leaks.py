"""Leaks as power laws: Q = C dp^n, in volume at 20 C and 101325 Pa.

>>> round(orifice(0.01, discharge=0.6).flow(10.0) * DENSITY, 4)
0.0294

An orifice has n = 1/2.  An effective leakage area L says: as much as a hole L with discharge
coefficient ``discharge`` lets through at the reference pressure, with the exponent n.

Limits: n must lie in 0.5 to 1 for a real leak (ASTM E779, from memory); a fit of two readings may
land outside, which is told in ``warnings`` and not mended in silence.
"""

from __future__ import annotations

import math

import msgspec

from wainscot.air.asking import positive, refuse

DENSITY = 101_325.0 / (287.042 * 293.15)
"""Of dry air at 20 C and 101325 Pa: 1.2041. [kg/m3]"""

LEAST, MOST = 0.5, 1.0
USUAL = 0.65
"""Exponent where nobody measured it: 0.6 to 0.7 (Dols & Walton 2002, second-hand). [1]"""


class Leak(msgspec.Struct, frozen=True):
    """A power law; flow is odd in the pressure."""

    coefficient: float
    """Flow at 1 Pa. [m3/s]"""
    exponent: float
    """[1]"""

    @property
    def warnings(self) -> tuple[str, ...]:
        """What is doubtful about it; empty if nothing is."""
        if LEAST <= self.exponent <= MOST:
            return ()
        return (
            f"the leak exponent is {self.exponent:.3f}, outside 0.5 to 1: no real leak does that; "
            "read the pressures and flows again",
        )

    def flow(self, pressure: float) -> float:
        """Return the flow that a pressure difference drives.

        Parameters
        ----------
        pressure : float
            Difference. [Pa]

        Returns
        -------
        float
            Flow, of the pressure's sign. [m3/s]
        """
        return math.copysign(self.coefficient * abs(pressure) ** self.exponent, pressure)

    def area(self, pressure: float = 4.0, discharge: float = 1.0) -> float:
        """Return the effective leakage area.

        Parameters
        ----------
        pressure : float
            Reference pressure. [Pa]
        discharge : float
            Discharge coefficient. [1]

        Returns
        -------
        float
            The area. [m2]
        """
        return self.flow(pressure) / (discharge * math.sqrt(2 * pressure / DENSITY))


def power_law(coefficient: float, exponent: float) -> Leak:
    """Return a leak by its two numbers.

    Parameters
    ----------
    coefficient : float
        Flow at 1 Pa. [m3/s]
    exponent : float
        Above zero; see ``Leak.warnings``. [1]

    Raises
    ------
    InputError
        If either is not above zero.
    """
    return Leak(positive("leak.coefficient", coefficient), positive("leak.exponent", exponent))


def orifice(area: float, *, discharge: float = 0.6) -> Leak:
    """Return a hole with sharp edges, Q = Cd A sqrt(2 dp / density).

    Parameters
    ----------
    area : float
        Of the hole. [m2]
    discharge : float
        Discharge coefficient. [1]

    Raises
    ------
    InputError
        If either is not above zero.
    """
    hole = positive("leak.area", area) * positive("leak.discharge", discharge)
    return Leak(hole * math.sqrt(2 / DENSITY), 0.5)


def effective_area(
    area: float, *, discharge: float = 1.0, pressure: float = 4.0, exponent: float = USUAL
) -> Leak:
    """Return a leak from its effective leakage area (4 Pa and Cd = 1 in ASHRAE's form).

    Parameters
    ----------
    area : float
        Effective leakage area. [m2]
    discharge : float
        Discharge coefficient that it stands for. [1]
    pressure : float
        Reference pressure. [Pa]
    exponent : float
        Of the power law. [1]

    Raises
    ------
    InputError
        If any is not above zero.
    """
    at = positive("leak.pressure", pressure)
    flow = orifice(area, discharge=discharge).flow(at)
    return Leak(flow / at ** positive("leak.exponent", exponent), exponent)


def through_points(*points: tuple[float, float], exponent: float = USUAL) -> Leak:
    """Return the power law through two measured points, or one and an exponent.

    Parameters
    ----------
    *points : tuple of float
        Pressure [Pa] and flow [m3/s], one or two of them.
    exponent : float
        Used with one point only. [1]

    Raises
    ------
    InputError
        If there are not one or two points, a value is not above zero, or the larger flow does not
        belong to the larger pressure.
    """
    for pressure, flow in points:
        positive("leak.pressure", pressure)
        positive("leak.flow", flow)
    if len(points) == 1:
        pressure, flow = points[0]
        return power_law(flow / pressure**exponent, exponent)
    if len(points) != 2 or points[0][0] == points[1][0]:
        raise refuse("leak.points", "a power law needs one or two different points", "give two")
    (low, little), (high, much) = sorted(points)
    if much <= little:
        raise refuse("leak.points", "more pressure let less air through", "read the meter again")
    fitted = math.log(much / little) / math.log(high / low)
    return Leak(little / low**fitted, fitted)


def parallel(*areas: float) -> float:
    """Return the one hole that stands for holes beside each other.

    Parameters
    ----------
    *areas : float
        Areas. [m2]

    Returns
    -------
    float
        Their sum. [m2]
    """
    return math.fsum(areas)


def series(*areas: float) -> float:
    """Return the one hole that stands for holes one behind the other (n = 1/2).

    Parameters
    ----------
    *areas : float
        Areas. [m2]

    Returns
    -------
    float
        1 / sqrt(sum of 1/A2) (from memory). [m2]
    """
    return 1 / math.sqrt(math.fsum(positive("leak.area", each) ** -2 for each in areas))

"""What gets next door: the work area in a house, with and without an airlock between them.

Air that leaks out against the draught (doors, people passing) is ``leak_out``; it is what carries
anything, so it is given and not hidden in a factor.

Limits: mixed zones, steady flows; a door that stands open is another case.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.air import Exchange, over_time, steady
from wainscot.air.asking import positive
from wainscot.arrays import Floats


class NextDoor(msgspec.Struct, frozen=True):
    """Concentrations and doses, work area first, the house last."""

    names: tuple[str, ...]
    steady: Floats
    """What they settle at. [mg/m3]"""
    dose: Floats
    """Over the hours of work. [mg h/m3]"""

    @property
    def share(self) -> float:
        """Dose in the house as a share of the dose in the work area. [1]"""
        return float(self.dose[-1] / self.dose[0]) if self.dose[0] > 0 else 0.0


def next_door(
    *, work: float, house: float, exhaust: float, leak_out: float, house_air: float,
    source: float, hours: float,
) -> NextDoor:  # fmt: skip
    """Return the two-zone case: the exhaust goes outdoors, its air comes from the house.

    Parameters
    ----------
    work, house : float
        Volumes. [m3]
    exhaust : float
        Drawn from the work area to outdoors. [m3/h]
    leak_out : float
        Air that gets from the work area into the house all the same. [m3/h]
    house_air : float
        Air that the house exchanges with outdoors of itself. [m3/h]
    source : float
        What the work stirs up. [mg/h]
    hours : float
        How long. [h]

    Raises
    ------
    InputError
        If a value cannot be.
    """
    _check(work=work, house=house, exhaust=exhaust, hours=hours)
    flow = np.zeros((3, 3))
    flow[0, 1], flow[1, 0], flow[0, 2] = leak_out, exhaust + leak_out, exhaust
    flow[1, 2], flow[2, 1] = house_air, house_air + exhaust
    return _worked(("work area", "house"), [work, house], flow, source, hours)


def through_airlock(
    *, work: float, airlock: float, house: float, exhaust: float, leak_out: float,
    house_air: float, source: float, hours: float,
) -> NextDoor:  # fmt: skip
    """Return the three-zone case: all air passes an airlock on its way in.

    Parameters
    ----------
    work, airlock, house : float
        Volumes. [m3]
    exhaust : float
        Drawn from the work area to outdoors. [m3/h]
    leak_out : float
        Air that gets one zone further against the draught. [m3/h]
    house_air : float
        Air that the house exchanges with outdoors of itself. [m3/h]
    source : float
        What the work stirs up. [mg/h]
    hours : float
        How long. [h]

    Raises
    ------
    InputError
        If a value cannot be.
    """
    _check(work=work, airlock=airlock, house=house, exhaust=exhaust, hours=hours)
    flow = np.zeros((4, 4))
    flow[0, 3] = exhaust
    flow[0, 1] = flow[1, 2] = leak_out
    flow[2, 1] = flow[1, 0] = exhaust + leak_out
    flow[2, 3], flow[3, 2] = house_air, house_air + exhaust
    names = ("work area", "airlock", "house")
    return _worked(names, [work, airlock, house], flow, source, hours)


def _check(**values: float) -> None:
    for name, value in values.items():
        positive(name, value)


def _worked(
    names: tuple[str, ...], volumes: list[float], flow: Floats, source: float, hours: float
) -> NextDoor:
    count = len(names)
    sources = np.zeros(count)
    sources[0] = source
    room = Exchange(names, np.array(volumes), flow, sources, np.zeros(count))
    course = over_time(room, np.zeros(count), np.array([hours]))
    return NextDoor(names, steady(room), course.dose[0])

"""Pressures of zones joined by leaks and fans: mass in equals mass out of every zone.

    house = Network((Zone("hall", 40.0), Zone("loft", 60.0)), paths, fans)
    balance = solve(house)
    balance.pressure["hall"]        # against outdoors at height 0 [Pa]

Newton's method on a sparse system.  Every leak's flow grows with its pressure, so the balance is
the lowest point of a convex function: a step is shortened by halving the interval until the slope
along it has dropped, and cannot run away.  Below :data:`LAMINAR` a leak is taken as linear, for
the slope of a square root at zero is infinite.

Limits: the density of what flows through a leak is that of the zone it comes from; a fan gives its
flow whatever the pressure.
"""

from __future__ import annotations

from collections import Counter

import msgspec
import numpy as np
from scipy import sparse
from scipy.sparse import csgraph
from scipy.sparse.linalg import splu

from wainscot.air.asking import positive
from wainscot.air.leaks import DENSITY, Leak
from wainscot.air.stack import GRAVITY, density
from wainscot.arrays import Floats, Ints
from wainscot.errors import Fault, InputError, WainscotError, unknown_word

OUTDOORS = "outdoors"
LAMINAR = 1e-3
"""Below this difference a leak is linear. [Pa]"""
CLOSES = 1e-9
"""What is left of a zone's balance, as a share of the largest flow. [1]"""
STILL = 1e-12
"""Less than this is no flow: a millionth of a gram in a quarter of an hour. [kg/s]"""
STRONGEST = 20_000.0
"""No fan on such a job gives more: a vacuum cleaner's suction. Judgement. [Pa]"""
_STEPS = 100
_HALVINGS = 40


class Zone(msgspec.Struct, frozen=True):
    """A well mixed space."""

    name: str
    volume: float
    """[m3]"""
    temperature: float = 293.15
    """[K]"""


class Path(msgspec.Struct, frozen=True):
    """A leak between two zones, or a zone and ``outdoors``."""

    a: str
    b: str
    leak: Leak
    height: float = 0.0
    """Above the house's datum. [m]"""
    wind: float = 0.0
    """Pressure of the wind at the outdoor end. [Pa]"""


class Fan(msgspec.Struct, frozen=True):
    """A fan from ``a`` to ``b``; ``held`` is the share of what it carries that its filter keeps."""

    a: str
    b: str
    flow: float
    """[m3/s]"""
    held: float = 0.0
    """[1]"""


class Network(msgspec.Struct, frozen=True):
    """Zones, leaks and fans; outdoors is a zone of its own that nothing moves."""

    zones: tuple[Zone, ...]
    paths: tuple[Path, ...]
    fans: tuple[Fan, ...] = ()
    outside: float = 293.15
    """Temperature outdoors. [K]"""


class Balance(msgspec.Struct, frozen=True):
    """Where the masses balance."""

    pressure: dict[str, float]
    """By zone, against outdoors, both at height 0. [Pa]"""
    flow: Floats
    """By path, from ``a`` to ``b``. [kg/s]"""
    fan_flow: Floats
    """By fan. [kg/s]"""
    left: float
    """Largest imbalance of a zone as a share of the largest flow. [1]"""
    steps: int


class UnsettledAirError(WainscotError):
    """The pressures were not found; nothing is told from half a solution."""


class _Arrays:
    """A network as arrays; outdoors is the last zone."""

    def __init__(self, network: Network) -> None:
        names = {zone.name: i for i, zone in enumerate(network.zones)}
        self.count = len(names)
        names[OUTDOORS] = self.count
        self.names = names
        paths, fans = network.paths, network.fans
        self.a = np.array([names[path.a] for path in paths], dtype=np.int32)
        self.b = np.array([names[path.b] for path in paths], dtype=np.int32)
        self.coefficient = np.array([path.leak.coefficient for path in paths])
        self.exponent = np.array([path.leak.exponent for path in paths])
        temperatures = [*(zone.temperature for zone in network.zones), network.outside]
        self.density = np.array([density(each) for each in temperatures])
        height = np.array([path.height for path in paths])
        wind = np.array([path.wind for path in paths])
        outward = (self.a == self.count).astype(float) - (self.b == self.count)
        weight = (self.density[self.b] - self.density[self.a]) * GRAVITY * height
        self.drive = weight + wind * outward
        self.fan_a = np.array([names[fan.a] for fan in fans], dtype=np.int32)
        self.fan_b = np.array([names[fan.b] for fan in fans], dtype=np.int32)
        flow = np.array([fan.flow for fan in fans])
        self.fan_flow = flow * self.density[self.fan_a] if fans else flow
        self.given = self._net(self.fan_a, self.fan_b, self.fan_flow)

    def _net(self, a: Ints, b: Ints, flow: Floats) -> Floats:
        """Return what leaves each zone, less what comes in."""
        size = self.count + 1
        out = np.bincount(a, flow, size) - np.bincount(b, flow, size)
        return np.asarray(out[: self.count], dtype=np.float64)

    def flows(self, pressure: Floats) -> tuple[Floats, Floats]:
        """Return each path's flow and its slope."""
        whole = np.append(pressure, 0.0)
        dp = whole[self.a] - whole[self.b] + self.drive
        upstream = self.density[np.where(dp >= 0, self.a, self.b)]
        factor = self.coefficient * DENSITY * np.sqrt(upstream / DENSITY)
        size = np.maximum(np.abs(dp), LAMINAR)
        secant = factor * size ** (self.exponent - 1)
        slope = np.where(np.abs(dp) > LAMINAR, self.exponent, 1.0) * secant
        return secant * dp, slope

    def residual(self, flow: Floats) -> Floats:
        """Return what leaves each zone, less what comes in, fans counted."""
        return self._net(self.a, self.b, flow) + self.given

    def newton(self, slope: Floats, residual: Floats) -> Floats:
        """Return the step that would balance the zones if every leak were linear."""
        n = self.count
        rows = np.concatenate((self.a, self.b, self.a, self.b))
        columns = np.concatenate((self.a, self.b, self.b, self.a))
        values = np.concatenate((slope, slope, -slope, -slope))
        inside = (rows < n) & (columns < n)
        matrix = sparse.csc_matrix((values[inside], (rows[inside], columns[inside])), shape=(n, n))
        found = splu(matrix, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})
        return np.asarray(found.solve(-residual), dtype=np.float64)


def solve(network: Network) -> Balance:
    """Return the pressures at which every zone's mass balances.

    Parameters
    ----------
    network : Network
        Every zone must lead outdoors through leaks, directly or by others.

    Raises
    ------
    InputError
        If a path or fan names a zone that is not there, a number cannot be, or a zone does not lead
        outdoors, so that its pressure has no limit.
    UnsettledAirError
        If no fan could hold the pressure, or Newton's method does not close the balance.
    """
    found = faults(network)
    if found:
        raise InputError(found)
    arrays = _Arrays(network)
    if not network.zones:
        flow, _ = arrays.flows(np.zeros(0))
        return Balance({}, flow, arrays.fan_flow, 0.0, 0)
    # At the first guess every leak is linear as at 4 Pa, the usual reference.
    first = arrays.coefficient * DENSITY * 4.0 ** (arrays.exponent - 1)
    pressure = arrays.newton(first, arrays.residual(first * arrays.drive))
    for step in range(_STEPS):
        flow, slope = arrays.flows(pressure)
        residual = arrays.residual(flow)
        largest = max(np.abs(flow).max(initial=0.0), np.abs(arrays.fan_flow).max(initial=0.0))
        left = float(np.abs(residual).max() / largest) if largest > 0 else 0.0
        if left <= CLOSES or largest * left <= STILL:
            _refuse_suction(pressure)
            by_name = dict(zip(arrays.names, pressure.tolist(), strict=False))
            return Balance(by_name, flow, arrays.fan_flow, left, step)
        pressure = _along(arrays, pressure, arrays.newton(slope, residual), residual)
    _refuse_suction(pressure)
    raise UnsettledAirError(
        f"the pressures did not settle: {left:.1e} of the largest flow is left over; look for a "
        "leak that is far too small or too large"
    )


def _refuse_suction(pressure: Floats) -> None:
    if (most := float(np.abs(pressure).max())) > STRONGEST:
        raise UnsettledAirError(
            f"a fan would have to hold {most:,.0f} Pa, which no fan does; give it less flow, "
            "or the zones the leaks that they have"
        )


def _along(arrays: _Arrays, start: Floats, step: Floats, residual: Floats) -> Floats:
    """Go along a step until the slope of the convex function has dropped to a tenth."""
    first = float(residual @ step)
    low, high, at = 0.0, 1.0, 1.0
    for _ in range(_HALVINGS):
        slope = float(arrays.residual(arrays.flows(start + at * step)[0]) @ step)
        if abs(slope) <= 0.1 * abs(first) or (slope < 0 and at == 1.0):
            break
        low, high = (at, high) if slope < 0 else (low, at)
        at = (low + high) / 2
    return start + at * step


def faults(network: Network) -> list[Fault]:
    """Return everything that is wrong with a network, all at once; empty if it is sound.

    Parameters
    ----------
    network : Network
        Any network.
    """
    names = [zone.name for zone in network.zones]
    known, counted = {*names, OUTDOORS}, Counter(names)
    found = [
        Fault("air-value", f"zones.{name}", "the name is taken", "give it another")
        for name in sorted({one for one in names if counted[one] > 1 or one == OUTDOORS})
    ]
    joins: tuple[Path | Fan, ...] = (*network.paths, *network.fans)
    for i, one in enumerate(joins):
        found += [
            unknown_word("air-value", f"paths[{i}]", "zone", end, known)
            for end in (one.a, one.b) if end not in known
        ]  # fmt: skip
        # A fan may blow a room's air back into it through a filter.
        if one.a == one.b and isinstance(one, Path):
            found.append(Fault("air-value", f"paths[{i}]", "it leads from a zone to itself",
                               "name the zone at its other end"))  # fmt: skip
    numbers = [(f"zones.{zone.name}.volume", zone.volume) for zone in network.zones]
    numbers += [(f"zones.{zone.name}.temperature", zone.temperature) for zone in network.zones]
    for i, path in enumerate(network.paths):
        numbers += [(f"paths[{i}].coefficient", path.leak.coefficient)]
        numbers += [(f"paths[{i}].exponent", path.leak.exponent)]
    numbers += [("outside", network.outside)]
    numbers += [(f"fans[{i}].flow", 1.0 + fan.flow) for i, fan in enumerate(network.fans)]
    for place, value in numbers:
        try:
            positive(place, value)
        except InputError as error:
            found += error.faults
    return found or _shut_in(network)


def _shut_in(network: Network) -> list[Fault]:
    """Return the zones that no leak joins to outdoors."""
    index = {zone.name: i for i, zone in enumerate(network.zones)} | {OUTDOORS: len(network.zones)}
    a = [index[path.a] for path in network.paths]
    b = [index[path.b] for path in network.paths]
    size = len(index)
    joined = sparse.coo_matrix((np.ones(len(a)), (a, b)), shape=(size, size))
    _, group = csgraph.connected_components(joined, directed=False)
    return [
        Fault("air-shut-in", f"zones.{zone.name}", "no leak leads from it outdoors",
              "give it a leak; every real room has one")
        for zone in network.zones if group[index[zone.name]] != group[-1]
    ]  # fmt: skip

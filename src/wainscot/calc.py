"""Calculations that people do by hand on site: formula, numbers, source and limits of each.

    found = purge(changes=6, efficiency=0.99, mixing=3)
    found.results[0].value, found.formula, found.source

Every function takes SI and gives a :class:`Worked`, which is told in both systems of units.

Limits: each stands with its own.
"""

from __future__ import annotations

import math

import msgspec

from wainscot import air, containment
from wainscot.air.asking import positive, refuse
from wainscot.air.leaks import USUAL, Leak
from wainscot.air.stack import stack_by_rule, stack_pressure
from wainscot.cleaning.drying import equilibrium, humidity_for
from wainscot.cleaning.film import film
from wainscot.cleaning.mixing import GALLON, mix
from wainscot.containment.exhaust import CHANGES, DERATE, PRESSURE, UNIT, purge_minutes

_OTHER = {
    "m": ("ft", 1 / 0.3048), "mm": ("in", 1 / 25.4), "m2": ("ft2", 0.3048**-2),
    "m3": ("ft3", 0.3048**-3), "m3/s": ("ft3/min", 60 * 0.3048**-3),
    "Pa": ("in of water", 1 / 249.089), "L": ("US gal", 1 / GALLON),
    "mL/m2": ("US gal/1000 ft2", 1000 * 0.3048**2 / 1000 / GALLON),
}  # fmt: skip


class Number(msgspec.Struct, frozen=True):
    """One number by its name."""

    name: str
    value: float
    """[unit]"""
    unit: str

    @property
    def words(self) -> str:
        """In both systems of units."""
        shown = f"{self.name}: {_plain(self.value)} {self.unit}".rstrip()
        if self.unit == "C":
            return f"{shown} ({_plain(self.value * 1.8 + 32)} F)"
        other = _OTHER.get(self.unit)
        return f"{shown} ({_plain(self.value * other[1])} {other[0]})" if other else shown


class Worked(msgspec.Struct, frozen=True):
    """A calculation as a person can follow it."""

    what: str
    formula: str
    given: tuple[Number, ...]
    results: tuple[Number, ...]
    source: str
    limits: str
    words: tuple[str, ...] = ()
    """What it means here; cautions last."""


def _plain(value: float) -> str:
    return f"{value:.4g}" if abs(value) < 10_000 else f"{value:,.0f}"


def purge(changes: float, efficiency: float, mixing: float = 1.0) -> Worked:
    """Return how long a purge takes.

    Parameters
    ----------
    changes : float
        [1/h]
    efficiency : float
        Share to be removed. [1]
    mixing : float
        1 to 10. [1]
    """
    minutes = purge_minutes(changes, efficiency, mixing)
    return Worked(
        "purge", "t = -ln(1 - efficiency) / changes x 60 x mixing",
        (Number("air changes", changes, "1/h"), Number("removed", 100 * efficiency, "%"),
         Number("mixing factor", mixing, "")),
        (Number("time", minutes, "min"),),
        "MMWR 43(RR-13) 1994, Table S3-1; mixing may be as bad as 10 (read)",
        "nothing is stirred up any more; mixing is a judgement",
    )  # fmt: skip


def exhaust(
    volume: float, leak: Leak, changes: float = CHANGES.value, pressure: float = PRESSURE.value,
    unit: float = UNIT.value, derate: float = DERATE.value,
) -> Worked:  # fmt: skip
    """Return what to draw out of a work area.

    Parameters
    ----------
    volume : float
        [m3]
    leak : Leak
        Its leakage.
    changes : float
        [1/h]
    pressure : float
        [Pa]
    unit : float
        On a unit's plate. [m3/s]
    derate : float
        Share that is left. [1]
    """
    found = containment.exhaust(volume, leak, changes=changes, pressure=pressure, unit=unit,
                                derate=derate)  # fmt: skip
    return Worked(
        "exhaust", "Q = max(V x changes / 3600, C dp^n); units = Q / (plate x derating), up",
        (Number("volume", volume, "m3"), Number("air changes", changes, "1/h"),
         Number("pressure", pressure, "Pa"), Number("unit", unit, "m3/s"),
         Number("derating", derate, "")),
        (Number("by air changes", found.by_changes, "m3/s"),
         Number("by leakage", found.by_leakage, "m3/s"), Number("flow", found.flow, "m3/s"),
         Number("units", found.units, "")),
        f"{CHANGES.source} (read); derating {DERATE.status}",
        "measure the pressure on site; a loaded filter gives less",
        (f"{found.governs}: the greater", *found.warnings,
         "STOP: no fan before what burns, garage and ducts are settled; a CO alarm first. Follow "
         "local code."),
    )  # fmt: skip


def leak(area: float, pressure: float, exponent: float = USUAL) -> Worked:
    """Return what goes through an effective leakage area (4 Pa, Cd = 1).

    Parameters
    ----------
    area : float
        [m2]
    pressure : float
        [Pa]
    exponent : float
        [1]
    """
    found = air.effective_area(area, exponent=exponent)
    return Worked(
        "leak", "Q = L sqrt(2 x 4 / density) x (dp / 4)^n",
        (Number("leakage area", area, "m2"), Number("pressure", pressure, "Pa"),
         Number("exponent", exponent, "")),
        (Number("flow", found.flow(positive("pressure", pressure)), "m3/s"),),
        "power law, ASTM E779 (from memory); n 0.6 to 0.7 if unknown (second-hand)",
        "air at 20 C at sea level",
        found.warnings,
    )  # fmt: skip


def stack(height: float, outside: float, inside: float) -> Worked:
    """Return the pull of a warm house.

    Parameters
    ----------
    height : float
        Above the neutral level. [m]
    outside, inside : float
        [K]
    """
    found = stack_pressure(height, outside=outside, inside=inside)
    rule = stack_by_rule(height, outside=outside, inside=inside)
    words = (f"as strong as {PRESSURE.value:.1f} Pa of exhaust: a manometer at the highest leak",)
    return Worked(
        "stack", "dp = (density outside - density inside) x g x h",
        (Number("height above neutral level", height, "m"),
         Number("outside", outside - 273.15, "C"),
         Number("inside", inside - 273.15, "C")),
        (Number("pressure", found, "Pa"), Number("by 0.0342 p h (1/To - 1/Ti)", rule, "Pa")),
        "gas law of dry air; the constant second-hand", "no wind; the neutral level is a guess",
        words if abs(found) >= PRESSURE.value else (),
    )  # fmt: skip


def reentry(gas: str, start: float, changes: float, decay: float = 0.0) -> Worked:
    """Return when a gas already chosen under its label may be measured at its limit.

    Parameters
    ----------
    gas : str
        Which.
    start : float
        [ppm]
    changes : float
        [1/h]
    decay : float
        Beside ventilation; none unless somebody measured it. [1/h]
    """
    found = containment.reentry(gas, start, changes, decay=decay)
    return Worked(
        "reentry", "t = ln(start / limit) / (changes + decay)",
        (Number("start", start, "ppm"), Number("limit", found.limit.ppm, "ppm"),
         Number("air changes", changes, "1/h"), Number("decay", decay, "1/h")),
        (Number("time", found.minutes, "min"),
         Number("limit by mass", containment.milligrams(gas, found.limit.ppm), "mg/m3")),
        f"{found.limit.body} {found.limit.kind}, {found.limit.source} ({found.limit.status})",
        "mixed air; no gas is recommended here", found.words,
    )  # fmt: skip


def mixing(whole: float, water: float) -> Worked:
    """Return what goes into a bucket.

    Parameters
    ----------
    whole : float
        [L]
    water : float
        Parts of water to one of product. [1]
    """
    found = mix(whole, water)
    return Worked(
        "mix", "product = whole / (1 + parts of water)",
        (Number("whole", whole, "L"), Number("parts of water to one", water, "")),
        (Number("product", found.product, "L"), Number("water", found.water, "L"),
         Number("share", 100 * found.share, "%")),
        "arithmetic", "volumes add up nearly; the label's own table comes first",
        ("Product into water, never the other way; never two products in one bucket.",),
    )  # fmt: skip


def coverage(area: float, amount: float, factor: float = 1.0, applications: int = 1) -> Worked:
    """Return how much a surface takes.

    Parameters
    ----------
    area : float
        [m2]
    amount : float
        mL on a square metre of sealed surface. [unit]
    factor : float
        How many times that the material takes. [1]
    applications : int
        How often.
    """
    for name, value in (("area", area), ("amount", amount), ("factor", factor)):
        positive(name, value)
    whole = area * amount * factor * applications / 1000
    return Worked(
        "coverage", "solution = area x coverage x material factor x applications",
        (Number("area", area, "m2"), Number("coverage", amount, "mL/m2"),
         Number("material factor", factor, ""), Number("applications", applications, "")),
        (Number("solution", whole, "L"), Number("film", amount * factor / 1000, "mm")),
        "100 to 200 mL/m2 to glisten, 1.5 to 3 times on bare wood, paper, masonry: common "
        "practice, no source", "what soaks in differs from wall to wall; the label comes first",
    )  # fmt: skip


def wetfilm(
    amount: float, contact: float, temperature: float, humidity: float, speed: float = 0.1
) -> Worked:
    """Return whether a film stays wet.

    Parameters
    ----------
    amount : float
        mL on a square metre. [unit]
    contact : float
        [min]
    temperature : float
        [K]
    humidity : float
        [1]
    speed : float
        Of the air. [m/s]
    """
    found = film(amount, contact, air.moist(temperature, humidity), speed)
    stays = "it stays wet" if found.stays_wet else (
        f"wet it again after {found.shortest:.0f} min at the latest"
    )  # fmt: skip
    return Worked(
        "wetfilm", "w = (0.089 + 0.0782 V)(pw - pa) / Y; time = amount / w",
        (Number("amount", amount, "mL/m2"), Number("contact time", contact, "min"),
         Number("air", temperature - 273.15, "C"), Number("humidity", 100 * humidity, "%"),
         Number("air speed", speed, "m/s")),
        (Number("evaporation", found.rate, "g/(m2 h)"), Number("lasts", found.lasts, "min"),
         Number("at least", found.shortest, "min"), Number("at most", found.longest, "min")),
        "Carrier's form, ASHRAE Trans. 1998 104-1A (abstract read)",
        "+-30 %; what soaks into the surface is extra and usually more", (stays,),
    )  # fmt: skip


def emc(temperature: float, humidity: float, target: float | None = None) -> Worked:
    """Return the moisture that wood settles at.

    Parameters
    ----------
    temperature : float
        [K]
    humidity : float
        [1]
    target : float, optional
        Limit, per cent of dry weight. [unit]
    """
    found = equilibrium(temperature, humidity)
    results = [Number("wood settles at", found, "%")]
    words: tuple[str, ...] = ()
    if target is not None:
        most = humidity_for(temperature, target)
        results.append(Number("humidity at most", 100 * most, "%"))
        reach = "can" if found < target else "can NOT"
        words = (f"{target:g} % {reach} be reached in this air",)
    return Worked(
        "emc", "Hailwood-Horrobin, two hydrates; coefficients of the Wood Handbook",
        (Number("air", temperature - 273.15, "C"), Number("humidity", 100 * humidity, "%")),
        tuple(results), "USDA FPL-RN-0268 (second-hand)",
        "0.1 % of the table; loose near saturation; treated wood misleads meters", words,
    )  # fmt: skip


def pipegap(hole: float, pipe: float) -> Worked:
    """Return the gap round a pipe in a hole.

    Parameters
    ----------
    hole, pipe : float
        Diameters. [m]
    """
    gap = positive("hole", hole) - positive("pipe", pipe)
    if gap < 0:
        raise refuse("pipe", "the pipe is wider than its hole", "measure both again")
    area = math.pi / 4 * (hole**2 - pipe**2)
    return Worked(
        "pipegap", "all to one side: hole - pipe; centred: half of it",
        (Number("hole", 1000 * hole, "mm"), Number("pipe", 1000 * pipe, "mm")),
        (Number("widest gap, pipe to one side", 1000 * gap, "mm"),
         Number("gap, pipe centred", 500 * gap, "mm"),
         Number("open area", area, "m2"),
         Number("leak at 5 Pa", air.orifice(area).flow(5.0) if area > 0 else 0.0, "m3/s")),
        "geometry; orifice with Cd 0.6", "round hole, round pipe",
        ("the widest gap is what an animal is held against",),
    )  # fmt: skip


def in_words(worked: Worked) -> list[str]:
    """Return a calculation line by line.

    Parameters
    ----------
    worked : Worked
        Any of them.
    """
    return [
        worked.formula, *(f"  {one.words}" for one in worked.given),
        *(f"= {one.words}" for one in worked.results), *worked.words,
        f"Source: {worked.source}.", f"Limits: {worked.limits}.",
    ]  # fmt: skip


__all__ = [
    "Number", "Worked", "coverage", "emc", "exhaust", "in_words", "leak", "mixing",
    "pipegap", "purge", "reentry", "stack", "wetfilm",
]  # fmt: skip

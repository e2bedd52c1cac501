"""What people type becomes SI once; SI becomes what people read.

A tape reads feet, inches and sixteenths, or metres and millimetres.  Both are typed as text with
their unit; a number without quotes is metres.  Text is kept as typed in the job and turned into
metres here, once, by exact fractions, so that an inch is 25.4 mm to the last bit.

>>> length("3'-4 1/2\\"")
1.0287
>>> length("38 mm"), length(2.4)
(0.038, 2.4)
>>> show_length(3.2131, "ft-in")
'10\\'-6 1/2"'

A fraction may follow its whole number after a space or a dash (``1 1/2 in``, ``1-1/2 in``); the
last figure after a foot mark is inches (``10'6``).  Printed primes, curly quotes and fractions
such as ``½`` are read as well.

Limits: a decimal comma is refused (``2,400`` may be 2.4 or 2400), and so is anything longer than
:data:`LONGEST`.  ``gal`` is the United States gallon; the British one is ``imp gal``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from wainscot.errors import WainscotError

Units = Literal["ft-in", "m"]

LONGEST = 1000.0
"""No length in a building is greater. [m]"""

INCH = Fraction(254, 10_000)
"""The international inch, exact by definition since 1959. [m]"""

_FOOT = 12 * INCH
_POUND = Fraction(45_359_237, 100_000_000)
_US_GALLON = 231 * INCH**3
_IMPERIAL_GALLON = Fraction(454_609, 100_000_000)

_LENGTHS = {
    "m": Fraction(1),
    "metre": Fraction(1),
    "meter": Fraction(1),
    "cm": Fraction(1, 100),
    "mm": Fraction(1, 1000),
    "in": INCH,
    "inch": INCH,
    "inches": INCH,
    '"': INCH,
    "ft": _FOOT,
    "foot": _FOOT,
    "feet": _FOOT,
    "'": _FOOT,
    "yd": 3 * _FOOT,
}
_AREAS = {
    "m2": Fraction(1),
    "sq m": Fraction(1),
    "ft2": _FOOT**2,
    "sq ft": _FOOT**2,
    "in2": INCH**2,
    "sq in": INCH**2,
    "cm2": Fraction(1, 10_000),
    "mm2": Fraction(1, 1_000_000),
}
_VOLUMES = {
    "m3": Fraction(1),
    "l": Fraction(1, 1000),
    "litre": Fraction(1, 1000),
    "liter": Fraction(1, 1000),
    "ml": Fraction(1, 1_000_000),
    "ft3": _FOOT**3,
    "cu ft": _FOOT**3,
    "gal": _US_GALLON,
    "qt": _US_GALLON / 4,
    "pt": _US_GALLON / 8,
    "fl oz": _US_GALLON / 128,
    "imp gal": _IMPERIAL_GALLON,
    "imp pt": _IMPERIAL_GALLON / 8,
    "imp fl oz": _IMPERIAL_GALLON / 160,
}
_MASSES = {
    "kg": Fraction(1),
    "g": Fraction(1, 1000),
    "lb": _POUND,
    "oz": _POUND / 16,
}
_DURATIONS = {
    "s": Fraction(1),
    "min": Fraction(60),
    "h": Fraction(3600),
    "hour": Fraction(3600),
    "day": Fraction(86_400),
    "night": Fraction(86_400),
    "week": Fraction(604_800),
}

_FRACTION_SIGNS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_PLAIN = str.maketrans(
    {
        "′": "'", "’": "'", "‘": "'", "ʹ": "'", "´": "'", "`": "'",
        "″": '"', "”": '"', "“": '"', "ʺ": '"',
        "⁄": "/", "∕": "/", "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-",
        "²": "2", "³": "3",
    }
)  # fmt: skip

_NUMBER = r"(?:\d+[ -]+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+\.\d+|\.\d+|\d+\.?)"
_UNIT = r"""[A-Za-z"'°][A-Za-z0-9 .]*?"""
_ONE = re.compile(rf"\s*(-?)\s*({_NUMBER})\s*({_UNIT})\.?\s*", re.ASCII)
_FEET_INCHES = re.compile(
    rf"""\s*(-?)\s*(\d+)\s*(?:'|ft\.?|foot|feet)\s*-?\s*({_NUMBER})\s*(?:"|in\.?|inch|inches)?\s*""",
    re.IGNORECASE | re.ASCII,
)
_BARE = re.compile(rf"\s*-?\s*({_NUMBER})\s*", re.ASCII)


class QuantityError(WainscotError):
    """What was typed is no quantity of the wanted kind; ``what`` and ``cure`` say why."""

    def __init__(self, what: str, cure: str) -> None:
        self.what = what
        self.cure = cure
        super().__init__(f"{what}; {cure}")


def length(typed: str | float, *, signed: bool = True) -> float:
    """Return a length as typed in metres.

    Parameters
    ----------
    typed : str or float
        Text with a unit (``"10 ft 6 in"``, ``"38 mm"``), or a number. [m]
    signed : bool
        False refuses values below zero.

    Returns
    -------
    float
        The length. [m]

    Raises
    ------
    QuantityError
        If the text has no unit, an unknown unit or no number; if the value is not finite, is
        longer than :data:`LONGEST`, or is negative where ``signed`` is False.

    Notes
    -----
    The inch of 25.4 mm is the international one (agreement of 1959).
    """
    metres = _length_of_text(typed) if isinstance(typed, str) else _plain_number(typed)
    if not math.isfinite(metres):
        raise QuantityError(f"{typed!r} is not a number", "write a length, such as 2.4 or '8 ft'")
    if abs(metres) > LONGEST:
        raise QuantityError(
            f"{typed!r} is {metres:.6g} m, longer than any building here",
            f"check the unit; a bare number is metres, so write '{typed} mm' for millimetres"
            if not isinstance(typed, str)
            else "check the unit",
        )
    if metres < 0 and not signed:
        raise QuantityError(f"{typed!r} is below zero", "give it without the minus sign")
    return metres


def area(typed: str | float) -> float:
    """Return an area as typed (``"12 sq ft"``, ``"1.1 m2"``) in square metres.

    Parameters
    ----------
    typed : str or float
        Text with a unit, or a number. [m2]

    Returns
    -------
    float
        The area. [m2]

    Raises
    ------
    QuantityError
        If the text has no unit or an unknown one, or the value is negative or not finite.
    """
    return _measure(typed, _AREAS, "an area", "12 sq ft or 1.1 m2")


def volume(typed: str | float) -> float:
    """Return a volume as typed (``"3 gal"``, ``"500 mL"``) in cubic metres.

    Parameters
    ----------
    typed : str or float
        Text with a unit, or a number. [m3]

    Returns
    -------
    float
        The volume. [m3]

    Raises
    ------
    QuantityError
        If the text has no unit or an unknown one, or the value is negative or not finite.
    """
    return _measure(typed, _VOLUMES, "a volume", "3 gal or 5 L")


def mass(typed: str | float) -> float:
    """Return a mass as typed (``"8 oz"``, ``"250 g"``) in kilograms.

    Parameters
    ----------
    typed : str or float
        Text with a unit, or a number. [kg]

    Returns
    -------
    float
        The mass. [kg]

    Raises
    ------
    QuantityError
        If the text has no unit or an unknown one, or the value is negative or not finite.
    """
    return _measure(typed, _MASSES, "a mass", "8 oz or 250 g")


def duration(typed: str | float) -> float:
    """Return a span of time as typed (``"10 min"``, ``"3 nights"``) in seconds.

    Parameters
    ----------
    typed : str or float
        Text with a unit, or a number. [s]

    Returns
    -------
    float
        The span. [s]

    Raises
    ------
    QuantityError
        If the text has no unit or an unknown one, or the value is negative or not finite.
    """
    return _measure(typed, _DURATIONS, "a time", "10 min or 3 nights")


def temperature(typed: str | float) -> float:
    """Return a temperature as typed (``"70 F"``, ``"21 °C"``) in kelvin.

    Parameters
    ----------
    typed : str or float
        Text with a unit, or a number. [K]

    Returns
    -------
    float
        The absolute temperature. [K]

    Raises
    ------
    QuantityError
        If the text has no unit or an unknown one, or the value lies below absolute zero.
    """
    kelvin = _kelvin(typed) if isinstance(typed, str) else _plain_number(typed)
    if not (math.isfinite(kelvin) and kelvin >= 0):
        raise QuantityError(f"{typed!r} is no temperature", "write a temperature, such as 70 F")
    return kelvin


def show_exact(metres: float, units: Units) -> str:
    """Return a length to saw by: sixteenths of an inch, or millimetres also above a metre.

    Parameters
    ----------
    metres : float
        The length. [m]
    units : {"ft-in", "m"}
        What the reader's tape shows.

    >>> show_exact(1.425, "m")
    '1425 mm'
    """
    return f"{round(metres * 1000)} mm" if units == "m" else show_length(metres, units)


def show_length(metres: float, units: Units, finest: int = 16) -> str:
    """Return a length as people read it: ``10'-6 1/2"``, ``3.21 m`` or ``38 mm``.

    Parameters
    ----------
    metres : float
        The length. [m]
    units : {"ft-in", "m"}
        What the reader's tape shows.
    finest : int
        Inches are rounded to the nearest ``1/finest``; metric lengths to 1 mm below a metre
        and to 10 mm above.

    Returns
    -------
    str
        Text that :func:`length` reads back to within half the rounding.
    """
    sign = "-" if metres < 0 else ""
    if units == "m":
        millimetres = round(abs(metres) * 1000)
        shown = f"{millimetres} mm" if millimetres < 1000 else f"{abs(metres):.2f} m"
        return f"{sign}{shown}" if millimetres else shown
    parts = round(Fraction(abs(metres)) / INCH * finest)
    feet, rest = divmod(parts, 12 * finest)
    whole, top = divmod(rest, finest)
    fraction = Fraction(top, finest)
    inches = f"{whole} {fraction}" if whole and top else f"{fraction if top else whole}"
    shown = f"{feet}'-{inches}\"" if feet else f'{inches}"'
    return f"{sign}{shown}" if parts else shown


@lru_cache(maxsize=4096)
def _length_of_text(typed: str) -> float:
    text = _plain(typed)
    both = _FEET_INCHES.fullmatch(text)
    if both is not None:
        sign, feet, inches = both.groups()
        metres = int(feet) * _FOOT + _number(inches, typed) * INCH
        return _float(-metres if sign else metres)
    return _one_unit(typed, _LENGTHS, "a length", "40 m, 40 mm or 40 in")


def _one_unit(typed: str, units: Mapping[str, Fraction], what: str, example: str) -> float:
    text = _plain(typed)
    if "," in text:
        raise QuantityError(
            f"{typed!r} has a comma, which may mean a decimal point or thousands",
            f"write a point and no comma, such as {example}",
        )
    if _BARE.fullmatch(text):
        raise QuantityError(
            f"{typed!r} is a bare number in quotes and has no unit",
            f"write {_with_units(typed.strip(), example)}",
        )
    one = _ONE.fullmatch(text)
    if one is None:
        raise QuantityError(f"{typed!r} is not {what}", f"write {example}")
    sign, number, unit = one.groups()
    factor = _factor(unit, units)
    if factor is None:
        known = ", ".join(name for name in units if name not in ('"', "'"))
        raise QuantityError(f"{unit!r} is no unit of {what}", f"use one of: {known}")
    value = _number(number, typed) * factor
    return _float(-value if sign else value)


def _measure(typed: str | float, units: Mapping[str, Fraction], what: str, example: str) -> float:
    value = (
        _one_unit(typed, units, what, example) if isinstance(typed, str) else _plain_number(typed)
    )
    if not (math.isfinite(value) and value >= 0):
        raise QuantityError(f"{typed!r} is not {what}", f"write {example}")
    return value


def _kelvin(typed: str) -> float:
    one = _ONE.fullmatch(_plain(typed).replace("°", " "))
    scale = one.group(3).strip().upper() if one else ""
    if one is None or scale not in ("F", "C", "K"):
        raise QuantityError(f"{typed!r} is no temperature", "write 70 F or 21 C")
    degrees = _number(one.group(2), typed) * (-1 if one.group(1) else 1)
    if scale == "F":
        return _float((degrees + Fraction("459.67")) * 5 / 9)
    return _float(degrees + Fraction("273.15") if scale == "C" else degrees)


def _plain(typed: str) -> str:
    """Return the text with one form of each prime, dash, space and fraction."""
    text = typed
    for sign, written in _FRACTION_SIGNS.items():
        text = text.replace(sign, f" {written}")
    text = text.translate(_PLAIN).replace("''", '"')
    return " ".join(text.split())


def _factor(unit: str, units: Mapping[str, Fraction]) -> Fraction | None:
    name = " ".join(unit.lower().replace(".", " ").split())
    if name in units:
        return units[name]
    return units.get(name[:-1]) if name.endswith("s") and len(name) > 2 else None


def _number(text: str, typed: str) -> Fraction:
    """Return ``1 1/2``, ``1-1/2``, ``3/8`` or ``1.25`` as an exact fraction."""
    try:
        parts = re.sub(r"\s*/\s*", "/", text).replace("-", " ").split()
        return sum((Fraction(part.rstrip(".")) for part in parts), Fraction(0))
    except (ValueError, ZeroDivisionError):
        raise QuantityError(f"{typed!r} has a fraction that is no number", "write 1/2") from None


def _plain_number(value: float) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise QuantityError(f"{value!r} is not a number", "write a number or text with a unit")
    return _float(value)


def _float(value: Fraction | float) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf


def _with_units(number: str, example: str) -> str:
    """Return the example with the number that was typed: ``2.4 m, 2.4 mm or 2.4 in``."""
    return re.sub(r"[\d.]+(?= )", lambda _: number, example)

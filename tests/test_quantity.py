"""What people type becomes SI exactly, and what is shown reads back."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
import scipy.constants as const
from hypothesis import assume, given
from hypothesis import strategies as st

from wainscot.quantity import (
    LONGEST,
    QuantityError,
    area,
    duration,
    length,
    mass,
    show_length,
    temperature,
    volume,
)

# Hand-worked at 25.4 mm an inch, 304.8 mm a foot (international yard and pound agreement of 1959).
TYPED = [
    ("3'-4 1/2\"", 1.0287),
    ("3' 4-1/2\"", 1.0287),
    ("3′-4 ½″", 1.0287),
    ("3’ 4½”", 1.0287),
    ("3'4.5''", 1.0287),
    ("1 1/2 in", 0.0381),
    ("1-1/2 in", 0.0381),
    ('1½"', 0.0381),
    ("38 mm", 0.038),
    ("38mm", 0.038),
    ("2.4 m", 2.4),
    ("240 cm", 2.4),
    ("10 ft 6 in", 3.2004),
    ("10 FT. 6 IN.", 3.2004),
    ("10'6", 3.2004),
    ("10 feet 6 inches", 3.2004),
    ("10'", 3.048),
    ("10.5 ft", 3.2004),
    ("10 1/2'", 3.2004),
    ('3/8"', 0.009525),
    (".5 in", 0.0127),
    ("0 mm", 0.0),
    ("-1 ft 6 in", -0.4572),
    ("−450 mm", -0.45),
    ("2 metres", 2.0),
    ("1 yd", 0.9144),
]


@pytest.mark.parametrize(("typed", "metres"), TYPED)
def test_every_way_of_typing_a_length_gives_its_metres(typed: str, metres: float) -> None:
    assert length(typed) == metres


def test_a_number_is_metres() -> None:
    assert length(2.4) == 2.4
    assert length(3) == 3.0


@pytest.mark.parametrize(
    ("typed", "what", "cure"),
    [
        ("40", "no unit", "40 mm or 40 in"),
        ("1 1/2", "no unit", "1 1/2 mm or 1 1/2 in"),
        ("2,4 m", "comma", "point"),
        ("3 cubits", "no unit of a length", "use one of: m,"),
        ("", "not a length", "write"),
        ("wide", "not a length", "write"),
        ("1/0 in", "no number", "1/2"),
        ("3' 4' ", "not a length", "write"),
        ("5000 m", "longer than any building", "check the unit"),
        (3200, "longer than any building", "3200 mm"),
        (1000.1, "longer than any building", "check the unit"),
        ("-1001 m", "longer than any building", "check the unit"),
        (math.nan, "not a number", "write"),
        (math.inf, "not a number", "write"),
        (10**400, "not a number", "write"),
        ("9" * 400 + " m", "not a number", "write"),
        (True, "not a number", "write"),
    ],
)
def test_what_is_no_length_is_refused_with_a_cure(typed: str | float, what: str, cure: str) -> None:
    with pytest.raises(QuantityError) as caught:
        length(typed)
    assert what in caught.value.what
    assert cure in caught.value.cure


def test_below_zero_is_refused_where_the_caller_says_so() -> None:
    assert length("-4 in") == -0.1016
    with pytest.raises(QuantityError, match="below zero"):
        length("-4 in", signed=False)


@given(st.integers(0, 30_000), st.integers(0, 63))
def test_an_inch_is_25_4_mm_to_the_last_bit(whole: int, parts: int) -> None:
    exact = (Fraction(whole) + Fraction(parts, 64)) * Fraction("0.0254")
    assert length(f"{whole}-{parts}/64 in") == float(exact)
    assert length(f"{whole // 12}' {whole % 12} {parts}/64\"") == float(exact)


@given(st.floats(-LONGEST, LONGEST), st.sampled_from(["m", "ft-in"]), st.sampled_from([2, 8, 16]))
def test_what_is_shown_reads_back_within_half_the_rounding(
    metres: float, units: str, finest: int
) -> None:
    metric = 0.001 if abs(metres) < 0.9995 else 0.01
    half = (0.0254 / finest if units == "ft-in" else metric) / 2
    shown = show_length(metres, units, finest)  # type: ignore[arg-type]
    assume(abs(metres) < LONGEST - 0.01)
    assert abs(length(shown) - metres) <= half * (1 + 1e-9)


def test_lengths_are_shown_as_a_tape_reads() -> None:
    assert show_length(3.2131, "ft-in") == "10'-6 1/2\""
    assert show_length(0.3048, "ft-in") == "1'-0\""
    assert show_length(0.0095, "ft-in", 8) == '3/8"'
    assert show_length(-1.016, "ft-in") == "-3'-4\""
    assert show_length(0.0, "ft-in") == '0"'
    assert show_length(-0.00001, "m") == "0 mm"
    assert show_length(0.9996, "m") == "1.00 m"
    assert show_length(3.2131, "m") == "3.21 m"
    assert show_length(0.038, "m") == "38 mm"


# scipy.constants carries the factors of NIST SP 811 and the 1985 UK imperial gallon.
def test_the_other_units_agree_with_scipy() -> None:
    assert volume("3 gal") == pytest.approx(3 * const.gallon_US, rel=1e-12)
    assert volume("3 imp gal") == pytest.approx(3 * const.gallon_imp, rel=1e-12)
    assert volume("8 fl oz") == pytest.approx(8 * const.fluid_ounce_US, rel=1e-12)
    assert volume("500 mL") == 0.0005
    assert mass("8 oz") == pytest.approx(8 * const.oz, rel=1e-12)
    assert mass("2 lb") == pytest.approx(2 * const.lb, rel=1e-12)
    assert area("12 sq ft") == pytest.approx(12 * const.foot**2, rel=1e-12)
    assert area("2 m²") == 2.0
    assert duration("3 nights") == 3 * const.day
    assert duration("1-1/2 h") == 1.5 * const.hour
    for degrees in (-40.0, 0.0, 70.0):
        fahrenheit = const.convert_temperature(degrees, "Fahrenheit", "Kelvin")
        assert temperature(f"{degrees} F") == pytest.approx(fahrenheit, rel=1e-12)
    assert temperature("21 °C") == 294.15


@pytest.mark.parametrize(
    ("read", "typed"),
    [(volume, "3 ft"), (volume, "3"), (mass, -1.0), (area, "wide"), (duration, math.nan),
     (temperature, "-500 F"), (temperature, "70"), (temperature, "70 in")],
)  # fmt: skip
def test_the_other_quantities_refuse_what_is_none(read, typed) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(QuantityError):
        read(typed)

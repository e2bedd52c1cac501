"""Leakage, stack effect, unit conversions and moist air against figures as printed.

Leakage: results of NIST's CONTAM as tabulated with the validation model OneWayFlow of the open
Modelica Buildings library (read).  Moist air: ASHRAE Fundamentals 2017 ch. 1 as held in the test
suite of psychrolib (read).
"""

from __future__ import annotations

import psychrolib
import pytest

from wainscot.air import (
    effective_area,
    moist,
    orifice,
    power_law,
    stack_pressure,
    through_points,
)  # fmt: skip
from wainscot.air.leaks import DENSITY, Leak, series
from wainscot.air.moist import altitude_pressure
from wainscot.air.stack import stack_by_rule

HOLE = orifice(0.01, discharge=0.6)
ELA = effective_area(0.01, discharge=0.6, pressure=10.0, exponent=0.65)
BY_VOLUME = Leak(0.01, 0.5)


@pytest.mark.parametrize(
    ("leak", "pressure", "printed", "digits"),
    [
        (HOLE, 1, 0.00931, 5), (HOLE, 5, 0.0208, 4), (HOLE, 10, 0.0294, 4), (HOLE, 50, 0.0658, 4),
        (ELA, 1, 0.00659, 5), (ELA, 5, 0.0188, 4), (ELA, 10, 0.0294, 4), (ELA, 50, 0.0838, 4),
        (BY_VOLUME, 1, 0.012, 3), (BY_VOLUME, 5, 0.0269, 4), (BY_VOLUME, 10, 0.0381, 4),
        (BY_VOLUME, 50, 0.0851, 4),
    ],
)  # fmt: skip
def test_leaks_give_the_mass_flows_that_contam_gives(
    leak: Leak, pressure: float, printed: float, digits: int
) -> None:
    assert leak.flow(pressure) * DENSITY == pytest.approx(printed, abs=0.51 * 10**-digits)
    assert leak.flow(-pressure) == -leak.flow(pressure)


def test_a_power_law_through_two_points_gives_the_others_and_warns_of_its_exponent() -> None:
    # CONTAM, the same table: (4 Pa, 0.019 kg/s), (10 Pa, 0.029 kg/s).
    fitted = through_points((4, 0.019 / DENSITY), (10, 0.029 / DENSITY))
    for pressure, printed in ((5, 0.0211), (25, 0.0443), (50, 0.0609)):
        assert fitted.flow(pressure) * DENSITY == pytest.approx(printed, abs=0.6e-4)
    assert fitted.exponent == pytest.approx(0.4615, abs=1e-4)
    assert "outside 0.5 to 1" in fitted.warnings[0]
    assert power_law(0.1, 0.65).warnings == ()


def test_a_power_law_through_one_point_gives_the_others() -> None:
    # CONTAM, the same table: one point at 4 Pa, exponent 0.5.
    fitted = through_points((4, 0.019 / DENSITY), exponent=0.5)
    assert fitted.flow(5) * DENSITY == pytest.approx(0.0212, abs=0.6e-4)
    assert fitted.flow(50) * DENSITY == pytest.approx(0.0672, abs=0.6e-4)


@pytest.mark.parametrize(
    ("exponent", "share"), [(0.5, 0.3162), (0.6, 0.2512), (0.65, 0.2239), (0.7, 0.1995)]
)
def test_a_flow_at_50_pascal_scales_to_5(exponent: float, share: float) -> None:
    # Arithmetic of Q = C dp^n.
    leak = power_law(1.0, exponent)
    assert leak.flow(5) / leak.flow(50) == pytest.approx(share, abs=5e-5)


def test_the_effective_leakage_area_comes_back() -> None:
    # Arithmetic: C = 0.05 m3/(s Pa^n), n = 0.65 gives 0.04776 m2 at 4 Pa.
    assert power_law(0.05, 0.65).area() == pytest.approx(0.04776, abs=5e-6)
    assert effective_area(0.04776).flow(4) == pytest.approx(0.12311, abs=5e-5)


def test_a_door_at_25_pascal_lets_through_what_the_sheet_says() -> None:
    # A pressurisation sheet: 0.12 m2 at 25 Pa, 0.50 m3/s (second-hand); its 0.827 is Cd 0.64.
    assert orifice(0.12, discharge=0.64).flow(25) == pytest.approx(0.50, abs=0.006)


def test_two_equal_holes_in_series_let_through_as_one_of_0_7071() -> None:
    # Textbook form, from memory.
    assert series(0.01, 0.01) == pytest.approx(0.007071, abs=5e-7)


@pytest.mark.parametrize(
    ("outside", "inside", "height", "exact", "rule"),
    [
        (0, 20, 5, 4.3230, 4.3276), (-10, 20, 2.5, 3.3654, 3.3691), (-5, 21, 2.7, 3.0808, 3.0841),
        (-20, 21, 6, 11.4356, 11.4480),
    ],
)  # fmt: skip
def test_stack_pressure_is_that_of_two_columns_and_the_printed_constant_agrees(
    outside: float, inside: float, height: float, exact: float, rule: float
) -> None:
    # Columns: dry ideal gas, computed by hand; the constant 0.0342 is second-hand.
    cold, warm = outside + 273.15, inside + 273.15
    assert stack_pressure(height, outside=cold, inside=warm) == pytest.approx(exact, rel=1e-4)
    assert stack_by_rule(height, outside=cold, inside=warm) == pytest.approx(rule, rel=1e-4)


@pytest.mark.parametrize(
    ("celsius", "pascal"),
    [(-20, 103.24), (-5, 401.74), (5, 872.6), (25, 3169.7), (50, 12351.3)],
)
def test_saturation_pressures_are_those_of_table_3(celsius: float, pascal: float) -> None:
    assert moist(celsius + 273.15, 0.5).saturation == pytest.approx(pascal, rel=3e-4)


def test_example_1_of_the_chapter_comes_out() -> None:
    # 40 C dry bulb, 20 C wet bulb, 101325 Pa: W 0.0065, dew point 7 C, 14 %.
    relative = psychrolib.GetRelHumFromTWetBulb(40.0, 20.0, 101_325.0)
    air = moist(313.15, relative)
    assert air.humidity == pytest.approx(0.14, abs=0.01)
    assert air.ratio == pytest.approx(0.0065, abs=1e-4)
    assert air.dew_point - 273.15 == pytest.approx(7, abs=0.5)
    assert air.wet_bulb - 273.15 == pytest.approx(20, abs=0.01)


@pytest.mark.parametrize(
    ("height", "pascal"), [(0, 101325), (500, 95461), (1000, 89875), (4000, 61640)]
)
def test_the_standard_atmosphere_is_that_of_the_table(height: float, pascal: float) -> None:
    assert altitude_pressure(height) == pytest.approx(pascal, abs=1)

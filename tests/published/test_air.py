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
from wainscot.errors import InputError

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
    [(-20, 103.24), (-5, 401.74), (5, 872.6), (25, 3169.7), (50, 12351.3), (100, 101418.0)],
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


@pytest.mark.parametrize(
    ("celsius", "ratio", "loose"),
    [(-20, 0.0006373, 0.01), (-5, 0.0024863, 0.005), (5, 0.005425, 0.005), (25, 0.020173, 0.005),
     (50, 0.086863, 0.01)],
)  # fmt: skip
def test_saturated_humidity_ratios_are_those_of_table_2(
    celsius: float, ratio: float, loose: float
) -> None:
    # Table 2 is of real moist air at 101325 Pa, so that an ideal gas is up to 1 % off.
    assert moist(celsius + 273.15, 1.0).ratio == pytest.approx(ratio, rel=loose)


def test_humidity_ratios_at_another_pressure_are_those_of_the_chapter() -> None:
    # 3169.7 Pa at 95461 Pa: 0.0213603998; 30 C dry, 25 C wet bulb at 95461 Pa: 0.0192281274.
    assert moist(298.15, 1.0, 95_461.0).ratio == pytest.approx(0.0213603998, rel=3e-4)
    relative = psychrolib.GetRelHumFromTWetBulb(30.0, 25.0, 95_461.0)
    assert moist(303.15, relative, 95_461.0).ratio == pytest.approx(0.0192281274, rel=3e-4)


def test_a_pressure_that_cannot_be_is_told_as_such_and_not_as_a_wrong_temperature() -> None:
    with pytest.raises(InputError, match=r"air\.pressure"):
        moist(293.15, 0.5, 0.0)


FOOT, INCH_OF_WATER = 0.3048, 249.089
CFM = FOOT**3 / 60


@pytest.mark.parametrize(
    ("feet2", "inches", "discharge", "cfm", "loose"),
    [
        # 4005 sqrt(dp): 895 ft/min, about 1800 ft3/min through 2 ft2 (second-hand); Cd 1.
        (2.0, 0.05, 1.0, 1791.0, 5.0),
        # 2610 A sqrt(dp), Cd 0.65, smoke control (from memory): 29 and 157; 1 ft2 by arithmetic.
        (0.11, 0.01, 0.65, 29.0, 0.5), (0.11, 0.30, 0.65, 157.0, 0.8),
        # The constant 2610 itself is 0.3 % above Cd 0.65 at this density.
        (1.0, 0.02, 0.65, 369.1, 1.8),
    ],
)  # fmt: skip
def test_holes_in_feet_and_inches_of_water_let_through_what_is_printed(
    feet2: float, inches: float, discharge: float, cfm: float, loose: float
) -> None:
    leak = orifice(feet2 * FOOT**2, discharge=discharge)
    assert leak.flow(inches * INCH_OF_WATER) / CFM == pytest.approx(cfm, abs=loose)

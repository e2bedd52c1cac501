"""Units of air, exposure and amounts come back as they were typed, whichever system they are in."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wainscot.air import OUTDOORS, Fan, Network, Path, Zone, effective_area, solve
from wainscot.cleaning import coverage, mix
from wainscot.cleaning.mixing import GALLON
from wainscot.cli.calc import flow, pressure
from wainscot.containment import milligrams, parts, units_for
from wainscot.containment.exhaust import exhaust
from wainscot.containment.exposure import MASS
from wainscot.quantity import temperature

some = st.floats(1e-3, 1e4)


@given(some)
@settings(max_examples=60, deadline=None)
def test_a_flow_or_pressure_typed_in_either_system_is_the_same(value: float) -> None:
    # By definition: a foot is 0.3048 m; an inch of water is 249.089 Pa (conventional).
    assert flow(f"{value!r} cfm") == pytest.approx(value * 0.3048**3 / 60, rel=1e-12)
    assert flow(f"{flow(f'{value!r} cfm')!r} m3/s") == pytest.approx(flow(f"{value!r} cfm"))
    assert pressure(f"{value!r} inwg") / pressure(f"{value!r} Pa") == pytest.approx(249.089)


@given(st.floats(-40, 200))
@settings(max_examples=60, deadline=None)
def test_fahrenheit_and_celsius_meet_in_kelvin(degrees: float) -> None:
    celsius = (degrees - 32) / 1.8
    assert temperature(f"{degrees:.6f} F") == pytest.approx(celsius + 273.15, abs=1e-5)


@given(st.sampled_from(sorted(MASS)), some)
@settings(max_examples=60, deadline=None)
def test_ppm_come_back_from_milligrams(gas: str, value: float) -> None:
    assert parts(gas, milligrams(gas, value)) == pytest.approx(value, rel=1e-12)


@given(st.floats(1, 5000), some, st.floats(0, 500))
@settings(max_examples=60, deadline=None)
def test_litres_add_up_and_coverage_turns_round(feet: float, whole: float, water: float) -> None:
    assert GALLON * 1000 / coverage(feet) / 0.3048**2 == pytest.approx(feet)
    found = mix(whole, water)
    assert found.product + found.water == pytest.approx(whole)
    assert found.water == pytest.approx(found.product * water, abs=1e-9 * whole)


@given(some, some)
@settings(max_examples=100, deadline=None)
def test_units_are_enough_and_one_fewer_is_not(wanted: float, usable: float) -> None:
    count = units_for(wanted, usable)
    assert count * usable >= wanted * (1 - 1e-8)
    assert (count - 1) * usable < wanted


@given(st.floats(5, 300), st.floats(1e-3, 0.1), st.floats(1, 20), st.floats(0.5, 30))
@settings(max_examples=60, deadline=None)
def test_exhaust_is_the_greater_of_both_and_rises_with_what_is_asked(
    volume: float, area: float, changes: float, held: float
) -> None:
    leak = effective_area(area)
    found = exhaust(volume, leak, changes=changes, pressure=held)
    assert found.flow == max(found.by_changes, found.by_leakage)
    assert exhaust(volume, leak, changes=changes * 1.5, pressure=held).flow >= found.flow
    assert exhaust(volume, leak, changes=changes, pressure=held * 1.5).flow >= found.flow


@given(st.floats(1e-3, 0.1), st.lists(st.floats(1e-3, 0.3), min_size=2, max_size=4, unique=True))
@settings(max_examples=60, deadline=None)
def test_a_stronger_fan_holds_the_work_area_lower(area: float, flows: list[float]) -> None:
    def held(fan: float) -> float:
        zones = (Zone("work", 30.0), Zone("house", 250.0))
        paths = (Path("work", "house", effective_area(area)),
                 Path("house", OUTDOORS, effective_area(0.05)))  # fmt: skip
        found = solve(Network(zones, paths, (Fan("work", OUTDOORS, fan),))).pressure
        return found["house"] - found["work"]

    pulls = [held(fan) for fan in sorted(flows)]
    assert pulls == sorted(pulls)

"""The network's pressures against hand cases, the spread against other ways to calculate it."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from wainscot.air import (
    OUTDOORS,
    Exchange,
    Fan,
    Network,
    Path,
    Zone,
    exchange_of,
    moist,
    orifice,
    over_time,
    power_law,
    solve,
    stack_pressure,
    steady,
)  # fmt: skip
from wainscot.air.leaks import DENSITY, series
from wainscot.errors import InputError


def zones(*names: str, temperature: float = 293.15) -> tuple[Zone, ...]:
    return tuple(Zone(name, 30.0, temperature) for name in names)


def test_two_holes_in_series_pass_what_the_one_of_their_series_area_does() -> None:
    house = Network(
        zones("room"),
        (Path(OUTDOORS, "room", orifice(0.01), wind=10.0), Path("room", OUTDOORS, orifice(0.02))),
    )
    found = solve(house)
    by_hand = orifice(series(0.01, 0.02)).flow(10.0) * DENSITY
    assert found.flow == pytest.approx([by_hand, by_hand], rel=1e-6)
    # The pressure drops divide as the inverse squares of the areas: 4 to 1.
    assert found.pressure["room"] == pytest.approx(2.0, rel=1e-6)


def test_two_holes_in_parallel_under_a_fan_divide_the_flow_by_area() -> None:
    house = Network(
        zones("room"),
        (Path(OUTDOORS, "room", orifice(0.01)), Path(OUTDOORS, "room", orifice(0.03))),
        (Fan("room", OUTDOORS, 0.1),),
    )
    found = solve(house)
    assert found.flow[1] / found.flow[0] == pytest.approx(3.0, rel=1e-9)
    by_hand = -((0.1 / orifice(0.04).coefficient) ** 2)
    assert found.pressure["room"] == pytest.approx(by_hand, rel=1e-4)


def test_two_equal_openings_in_a_warm_column_have_the_neutral_level_between_them() -> None:
    # Mass flow through each by half of the column's draught; densities of the air that flows.
    warm, cold = 294.15, 253.15
    house = Network(
        zones("stair", temperature=warm),
        (Path("stair", OUTDOORS, orifice(0.02), height=0.0),
         Path("stair", OUTDOORS, orifice(0.02), height=6.0)),
        outside=cold,
    )  # fmt: skip
    found = solve(house)
    whole = stack_pressure(6.0, outside=cold, inside=warm)
    heavy, light = 101_325 / (287.042 * cold), 101_325 / (287.042 * warm)
    # in: sqrt(heavy x), out: sqrt(light (whole - x)), equal: x = whole light / (heavy + light).
    lower = whole * light / (heavy + light)
    assert found.pressure["stair"] == pytest.approx(-lower, rel=1e-6)
    expected = 0.6 * 0.02 * math.sqrt(2 * heavy * lower)
    assert found.flow[1] == pytest.approx(expected, rel=1e-4)
    assert found.flow[0] == pytest.approx(-expected, rel=1e-4)


def test_a_zone_that_leads_nowhere_is_refused_by_name() -> None:
    house = Network(zones("a", "b", "c"), (Path("a", OUTDOORS, orifice(0.01)),
                                           Path("b", "c", orifice(0.01))))  # fmt: skip
    with pytest.raises(InputError, match=r"zones\.b: no leak leads"):
        solve(house)


def test_names_that_are_not_there_are_all_told_at_once() -> None:
    house = Network(zones("kitchen"), (Path("kitchn", OUTDOORS, orifice(0.01)),
                                       Path("kitchen", "outdoor", orifice(0.01))))  # fmt: skip
    with pytest.raises(InputError) as error:
        solve(house)
    assert [fault.cure for fault in error.value.faults] == ["write 'kitchen'", "write 'outdoors'"]


def exchange(
    volume: list[float], flows: dict[tuple[int, int], float], source: list[float],
    loss: list[float] | None = None,
) -> Exchange:  # fmt: skip
    size = len(volume)
    flow = np.zeros((size + 1, size + 1))
    for (a, b), value in flows.items():
        flow[a, b] = value
    return Exchange(
        tuple(f"z{i}" for i in range(size)), np.array(volume), flow, np.array(source),
        np.array(loss or [0.0] * size),
    )  # fmt: skip


ONE = exchange([50], {(0, 1): 100, (1, 0): 100}, [20], [0.5])
TWO = exchange(
    [20, 250], {(0, 1): 5, (1, 0): 105, (2, 0): 100, (0, 2): 200, (2, 1): 150, (1, 2): 50},
    [1000, 0],
)  # fmt: skip
THREE = exchange(
    [20, 5, 250],
    {(2, 1): 153, (1, 0): 153, (0, 1): 3, (1, 2): 3, (0, 3): 150, (3, 2): 150},
    [1000, 0, 0],
)


@pytest.mark.parametrize(
    ("hours", "value"),
    [(0.25, 5.426972), (0.5, 2.979207), (1, 0.967716), (2, 0.226301), (4, 0.160447)],
)
def test_one_zone_follows_the_closed_form(hours: float, value: float) -> None:
    # C = Css + (C0 - Css) exp(-lambda t), lambda 2.5 /h, Css 0.16.
    found = over_time(ONE, np.array([10.0]), np.array([hours])).concentration[0, 0]
    assert found == pytest.approx(0.16 + 9.84 * math.exp(-2.5 * hours), rel=1e-12)
    assert found == pytest.approx(value, abs=1e-6)


def test_two_equal_zones_follow_the_closed_form() -> None:
    room = exchange([100, 100], {(0, 1): 50, (1, 0): 50, (0, 2): 25, (1, 2): 25, (2, 0): 25,
                                 (2, 1): 25}, [0, 0])  # fmt: skip
    hours = np.array([0.5, 1.0, 2.0])
    found = over_time(room, np.array([8.0, 0.0]), hours).concentration
    slow, fast = 4 * np.exp(-0.25 * hours), 4 * np.exp(-1.25 * hours)
    assert found == pytest.approx(np.stack((slow + fast, slow - fast), axis=1), rel=1e-11)


@pytest.mark.parametrize(
    ("room", "expected"),
    [(TWO, [4.96, 0.16]), (THREE, [6.666667, 0.130718954, 0.002563117])],
)
def test_steady_values_are_those_of_the_balance_by_hand(
    room: Exchange, expected: list[float]
) -> None:
    assert steady(room) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("room", [ONE, TWO, THREE])
@pytest.mark.parametrize("first", [0.0, 10.0])
def test_the_course_is_that_of_a_stepwise_solver(room: Exchange, first: float) -> None:
    count = len(room.names)
    flow = np.asarray(room.flow)

    def rate(_: float, state: Any) -> Any:
        inside = np.array([
            sum(flow[j, i] * state[j] for j in range(count))
            - flow[i].sum() * state[i] - room.loss[i] * room.volume[i] * state[i] + room.source[i]
            for i in range(count)
        ])  # fmt: skip
        return np.concatenate((inside / room.volume, state[:count]))

    start = np.zeros(count)
    start[0] = first
    hours = np.array([0.05, 0.1, 0.5, 1.0, 5.0])
    found = over_time(room, start, hours)
    stepped = solve_ivp(rate, (0, 5), np.concatenate((start, np.zeros(count))), t_eval=hours,
                        method="Radau", rtol=1e-10, atol=1e-13)  # fmt: skip
    assert found.concentration == pytest.approx(stepped.y[:count].T, rel=1e-6, abs=1e-10)
    assert found.dose == pytest.approx(stepped.y[count:].T, rel=1e-6, abs=1e-10)


def test_a_source_that_nothing_carries_away_never_settles_and_is_refused() -> None:
    shut = exchange([10, 10], {(0, 2): 5, (2, 0): 5}, [1, 1])
    with pytest.raises(InputError, match=r"zones\.z1: nothing carries"):
        steady(shut)


def test_a_large_house_takes_the_sparse_way_to_the_same_course() -> None:
    count = 400
    flows: dict[tuple[int, int], float] = {(i, i + 1): 10.0 for i in range(count)}
    flows[(count, 0)] = 10.0
    room = exchange([10.0] * count, flows, [100.0, *[0.0] * (count - 1)])
    # Equal tanks in a row: the n-th follows the sum of a Poisson law (Erlang).
    found = over_time(room, np.zeros(count), np.array([2.0])).concentration[0]
    poisson = [math.exp(-2.0) * 2.0**k / math.factorial(k) for k in range(40)]
    expected = [10 * (1 - sum(poisson[: n + 1])) for n in range(20)]
    assert found[:20] == pytest.approx(expected, abs=1e-7)


def test_a_filter_in_the_way_keeps_its_share_of_what_the_fan_carries() -> None:
    house = Network(
        zones("work", "house"),
        (Path(OUTDOORS, "house", orifice(0.1)), Path("house", "work", orifice(0.1))),
        (Fan("work", OUTDOORS, 0.05), Fan("work", "house", 0.02, held=0.9997)),
    )
    room = exchange_of(house, solve(house), source={"work": 1000.0})
    found = steady(room)
    # Into the house: 72 m3/h x C x 0.0003; out again: 252 m3/h that flow into the work area.
    assert found[1] / found[0] == pytest.approx(72 * 0.0003 / 252, rel=1e-5)


@pytest.mark.parametrize("celsius", [10.0, 20.0, 25.0])
@pytest.mark.parametrize("relative", [0.3, 0.5, 0.7])
def test_moist_air_agrees_with_a_real_gas_library_within_half_a_percent(
    celsius: float, relative: float
) -> None:
    from CoolProp.HumidAirProp import HAPropsSI

    air = moist(celsius + 273.15, relative)
    of = ("T", air.temperature, "P", 101_325.0, "R", relative)
    assert air.ratio == pytest.approx(HAPropsSI("W", *of), rel=5e-3)
    assert air.wet_bulb == pytest.approx(HAPropsSI("Twb", *of), abs=0.03)
    assert air.dew_point == pytest.approx(HAPropsSI("Tdp", *of), abs=0.03)


def test_a_leak_with_a_linear_law_is_solved_as_one_linear_system() -> None:
    house = Network(
        zones("a", "b"),
        (Path(OUTDOORS, "a", power_law(0.01, 1.0)), Path("a", "b", power_law(0.02, 1.0)),
         Path("b", OUTDOORS, power_law(0.03, 1.0))),
        (Fan("b", OUTDOORS, 0.02),),
    )  # fmt: skip
    found = solve(house)
    matrix = np.array([[0.03, -0.02], [-0.02, 0.05]])
    expected = np.linalg.solve(matrix, [0.0, -0.02])
    assert [found.pressure["a"], found.pressure["b"]] == pytest.approx(expected, rel=1e-4)

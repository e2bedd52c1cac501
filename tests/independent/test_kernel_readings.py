"""Linear readings, where one value depends on the sum of what many voids send.

Outside: ``exact.enumerate_all`` sums over every run passage, source, load level and the soil and
nest of every void that is smelt; ``slow_kernel`` is the plain copy.  All seeds are fixed.
"""

from __future__ import annotations

import functools
from collections.abc import Callable

import msgspec
import numpy as np
import pytest
from exact import Exact, enumerate_all
from hypothesis import given, settings
from hypothesis import strategies as st
from problems import FOUND, FRESH, GRID, ladder, make, not_smelt, sign, smelt
from slow_kernel import SlowKernel
from test_kernel_exact import MANY, differences

from wainscot.diagnosis.kernel import WASTE_FREE, Problem, combine, run

SOILED = np.array([[0.45, 0.0, 0.3, 0.05, 0.12, 0.08]])
"""Soil and nest of a void that is reached: invented."""


def plain(levels: int = 1) -> np.ndarray:
    table = np.zeros((levels, 3, 6))
    table[:, 0, 0] = 1.0
    for level in range(levels):
        table[level, 1:] = SOILED
        table[level, 1:, 1:] *= 1.6**level
        table[level, 1:] /= table[level, 1:].sum(axis=-1, keepdims=True)
    return table


def line(voids: int, chance: float) -> list[tuple[int, int, float]]:
    return [(v, v + 1, chance) for v in range(voids - 1)]


START = (0, (0.7, 0.15, 0.15), True)


def one_room() -> Problem:
    """Three voids near one room that smells, one of them looked into in vain."""
    smells = [({2: 1.0, 3: 0.6, 4: 0.3}, smelt(0.5))]
    implicit = [(v, (0.98, 0.01, 0.01), False) for v in range(6)]
    rows = {2: plain()[0] * np.array([0.9, 0.9, 0.4, 0.4, 0.1, 0.1])}
    return make(6, line(6, 0.4), [START, *implicit[4:]], rows, plain=plain(), smells=smells)


def two_rooms() -> Problem:
    """A room that smells beside one that does not, sharing a void; two load levels."""
    smells = [({1: 0.3, 3: 1.0}, smelt(1.0, 0.7)), ({3: 0.2, 4: 1.0}, not_smelt(0.0, 0.7))]
    sources = [START, (4, (0.8, 0.1, 0.1), True)]
    ways = [*line(5, 0.35), (0, 3, 0.2)]
    rows = {2: sign(*FRESH, 1.3, 2)}
    return make(5, ways, sources, rows, loads=(0.6, 0.4), plain=plain(2), smells=smells)


def bump() -> Problem:
    """A meter: the curve has a top in the middle, so that more is not always better."""
    curve = np.maximum(-0.5 * ((GRID - 0.7) / 0.6) ** 2, -3.0)
    smells = [({1: 0.5, 2: 1.0, 3: 1.0, 5: 1.0}, curve)]
    return make(
        7,
        [*line(7, 0.5), (0, 6, 0.1)],
        [START],
        {4: sign(*FOUND)},
        plain=plain(),
        smells=smells,
    )


def falling() -> Problem:
    """Emissions that do not rise with reach, and a curve with two tops."""
    problem = two_rooms()
    emission = problem.linear_emission.copy()
    emission[:, :, 2] *= 0.3
    emission[0, :, 0] = 2.0
    curves = problem.linear_log_likelihood.copy()
    curves[1] = -1.5 * np.sin(GRID) ** 2
    return msgspec.structs.replace(
        problem,
        linear_emission=emission,
        linear_log_likelihood=curves,
        linear_soil=np.zeros((0, 6)),
    )


def averages_only() -> Problem:
    return msgspec.structs.replace(two_rooms(), linear_soil=np.zeros((0, 6)))


CASES: dict[str, Callable[[], Problem]] = {
    "one_room": one_room,
    "two_rooms": two_rooms,
    "bump": bump,
    "falling": falling,
    "averages_only": averages_only,
}


@functools.cache
def exact(name: str) -> Exact:
    return enumerate_all(CASES[name]())


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("name", CASES)
def test_the_kernel_agrees_with_every_joint_state(name: str, seed: int) -> None:
    found = combine(run(CASES[name](), seed=seed))
    true = exact(name)
    error, ratio = differences(found, true)
    assert error <= 0.03
    assert ratio <= 4.5
    assert abs(found.log_evidence - true.log_evidence) <= max(0.05, 4.5 * found.log_evidence_se)


def test_the_waste_free_form_agrees_as_well() -> None:
    found = combine(run(one_room(), seed=3, populations=16, flags=WASTE_FREE, sweeps=3))
    error, ratio = differences(found, exact("one_room"))
    assert error <= 0.03
    assert ratio <= 4.5


def test_without_the_correction_soil_and_reach_are_wrong() -> None:
    # The control: averages instead of what the cells send miss what a smell says of the soil.
    found = combine(run(averages_only(), seed=1))
    true = exact("two_rooms")
    assert np.abs(found.soil - true.soil).max() > 0.1
    assert np.abs(found.ever - true.ever).max() > 0.1


@pytest.mark.parametrize("seed", [5, 6])
@pytest.mark.parametrize(("flags", "sweeps"), [(0, 1), (0, 2), (WASTE_FREE, 3)])
@pytest.mark.parametrize("name", CASES)
def test_plain_python_draws_the_same(name: str, flags: int, sweeps: int, seed: int) -> None:
    problem = CASES[name]()
    found = run(problem, seed=seed, populations=2, chains=32, length=1, flags=flags, sweeps=sweeps)
    slow = SlowKernel(problem, seed, 1, draws=32, sweeps=sweeps, flags=flags)
    assert slow.run() == found[1].digest


@st.composite
def tiny(draw: st.DrawFn) -> Problem:
    voids = draw(st.integers(2, 4))
    chance = st.floats(0.05, 0.95)
    ways = [(v, v + 1, draw(chance)) for v in range(voids - 1)]
    weights = st.tuples(chance, chance, chance)
    sources = [(draw(st.integers(0, voids - 1)), draw(weights), True)]
    share = st.floats(0.01, 3.0)
    members = st.dictionaries(st.integers(0, voids - 1), share, min_size=1, max_size=3)
    level = st.floats(-3.0, 0.0)
    curves = st.lists(level, min_size=len(GRID), max_size=len(GRID)).map(np.array)
    smells = draw(st.lists(st.tuples(members, curves), min_size=1, max_size=2))
    rows = {voids - 1: sign(*draw(weights), 1.3, 2)}
    return make(voids, ways, sources, rows, (0.6, 0.4), plain=plain(2), smells=smells)


@given(tiny(), st.integers(0, 2**63))
@settings(max_examples=15, deadline=None, derandomize=True)
def test_any_tiny_problem(problem: Problem, seed: int) -> None:
    found = run(problem, seed=seed, populations=MANY)
    error, ratio = differences(combine(found), enumerate_all(problem))
    assert error <= 0.05
    assert ratio <= 4.5
    small = run(problem, seed=seed, populations=1, chains=16, length=1)[0]
    assert small.digest == SlowKernel(problem, seed, 0, draws=16, sweeps=1).run()


def test_a_far_room_that_smells_opens_a_corridor() -> None:
    smells = [({22: 3.0, 23: 3.0}, smelt(0.5, most=12.0))]
    problem = ladder(12, rail=0.4, implicit=0.0002, smells=smells)
    found = run(problem, seed=1)
    assert found[0].tilt > 0.0
    quiet = msgspec.structs.replace(problem, linear_log_likelihood=not_smelt(0.5)[None, :])
    assert run(quiet, seed=1, populations=1)[0].tilt == 0.0


def far_strong_smell() -> Problem:
    """A faint member at the way in cannot explain the smell; only the far end can."""
    smells = [({0: 0.002, 6: 8.0}, smelt(1.0, 0.4, most=9.0))]
    return make(7, line(7, 0.12), [START], plain=plain(), smells=smells)


def test_a_faint_member_near_the_way_in_does_not_hide_the_far_one() -> None:
    problem = far_strong_smell()
    found = run(problem, seed=1)
    assert found[0].tilt >= 1.0
    error, ratio = differences(combine(found), enumerate_all(problem))
    assert error <= 0.03
    assert ratio <= 4.5


def test_the_effective_share_of_the_correction_is_told() -> None:
    assert run(ladder(6), seed=1, populations=1)[0].correction_share == 1.0
    assert run(averages_only(), seed=1, populations=1)[0].correction_share == 1.0
    shares = [p.correction_share for p in run(one_room(), seed=1)]
    assert 0.3 < min(shares) <= max(shares) < 1.0

"""Laws that the worth of any check obeys, whatever the numbers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wainscot.checks.worth import Worth, chances_moved, expected_value


def case(seed: int, draws: int = 60, voids: int = 4) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return soil [K, n] in 0..2, losses [K, n] and costs of opening [n]."""
    rng = np.random.default_rng(seed)
    common = rng.random((draws, 1)) < 0.5
    soil = np.where(common, rng.integers(0, 3, (draws, voids)), 0)
    return soil, np.array([0.0, 200.0, 900.0])[soil], rng.uniform(20, 500, voids)


def powers(seed: int, checks: int, outcomes: int = 3) -> np.ndarray:
    """Return chances of each outcome given each soil, [J, O, 3]."""
    return np.random.default_rng(seed).dirichlet(np.ones(outcomes), (checks, 3)).transpose(0, 2, 1)


def looked_at(soil: np.ndarray, power: np.ndarray, void: int) -> np.ndarray:
    return power[:, :, soil[:, void]]


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_no_check_is_worth_less_than_nothing(seed: int) -> None:
    soil, leave, opening = case(seed)
    worth = expected_value(leave, opening, looked_at(soil, powers(seed, 5), seed % 4))
    assert (worth.value >= -1e-9 * leave.max()).all()


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_seeing_a_void_for_certain_is_worth_at_least_any_other_look_at_it(seed: int) -> None:
    # Blackwell 1953: a look that another look can be garbled into is never worth less (from
    # memory).
    soil, leave, opening = case(seed)
    perfect = expected_value(leave, opening, looked_at(soil, np.eye(3)[None], 2)).value[0]
    others = expected_value(leave, opening, looked_at(soil, powers(seed, 8), 2)).value
    assert (others <= perfect + 1e-9 * leave.max()).all()


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_no_look_beats_knowing_every_draw(seed: int) -> None:
    soil, leave, opening = case(seed)
    worth = expected_value(leave, opening, looked_at(soil, powers(seed, 5), 1))
    known = (
        np.minimum(leave.mean(axis=0), opening).sum()
        - np.minimum(leave, opening).mean(axis=0).sum()
    )
    assert (worth.value <= known + 1e-9 * leave.max()).all()


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6))
def test_a_check_that_says_the_same_whatever_is_true_is_worth_nothing(seed: int) -> None:
    soil, leave, opening = case(seed)
    deaf = np.repeat(powers(seed, 4)[:, :, :1], 3, axis=2)
    worth = expected_value(leave, opening, looked_at(soil, deaf, 0))
    assert worth.value == pytest.approx(0, abs=1e-9 * leave.max())


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6))
def test_asking_twice_leaves_every_worth_and_the_order_as_they_were(seed: int) -> None:
    soil, leave, opening = case(seed)
    outcome = looked_at(soil, powers(seed, 4), 3)
    once = expected_value(leave, opening, outcome)
    twice = expected_value(leave, opening, np.concatenate([outcome, outcome[:2]]))
    assert twice.value[:4] == pytest.approx(once.value)
    assert twice.value[4:] == pytest.approx(once.value[:2])


def test_naming_the_outcomes_in_another_order_changes_nothing() -> None:
    soil, leave, opening = case(7)
    outcome = looked_at(soil, powers(7, 4), 3)
    first = expected_value(leave, opening, outcome)
    second = expected_value(leave, opening, outcome[:, ::-1])
    assert second.value == pytest.approx(first.value)
    assert second.chance == pytest.approx(first.chance[:, ::-1])


def test_a_worked_case_of_one_void_by_hand() -> None:
    # Half the draws are soiled; leaving soil costs 100, opening 40.  Prior: open, 40.  A look that
    # finds soil 4 times in 5 and never finds it where there is none: found (0.4) -> open, 40; not
    # found (0.6), soiled with chance 1/6, leaving costs 16.7 -> leave.  40 - 16 - 10 = 14.
    soil = np.array([0, 1] * 50)
    outcome = np.array([[1.0, 0.2], [0.0, 0.8]])[None][:, :, soil]
    worth = expected_value(100.0 * soil[:, None], np.array([40.0]), outcome)
    assert isinstance(worth, Worth)
    assert worth.value == pytest.approx([14.0])
    assert worth.chance == pytest.approx(np.array([[0.6, 0.4]]))
    assert worth.prior_open.tolist() == [True]
    assert worth.pairs.tolist() == [[0, 0]]
    assert worth.gain == pytest.approx([14.0])


def test_chances_move_as_far_as_bayes_says() -> None:
    # Same case: the chance goes from 1/2 to 1/6 (6 times in 10) or to 1 (4 times in 10).
    soil = np.array([0, 1] * 50)
    outcome = np.array([[1.0, 0.2], [0.0, 0.8]])[None][:, :, soil]
    moved = chances_moved(soil[:, None].astype(float), outcome)
    assert moved == pytest.approx([0.6 * (1 / 2 - 1 / 6) + 0.4 * (1 - 1 / 2)])


def test_misfitting_shapes_and_outcomes_that_do_not_sum_to_one_are_refused() -> None:
    soil, leave, opening = case(1)
    outcome = looked_at(soil, powers(1, 2), 0)
    with pytest.raises(ValueError, match="sum to one"):
        expected_value(leave, opening, outcome * 0.9)
    with pytest.raises(ValueError, match="draws"):
        expected_value(leave[:-1], opening, outcome)

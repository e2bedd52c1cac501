"""The worth of checks against sums over every joint state of a small ladder.

The oracle in ``worth_oracle.py`` is brute force of our own and imports nothing of the project.
"""

from __future__ import annotations

import numpy as np
import pytest
from worth_oracle import (
    OPEN,
    PASSAGES,
    SOIL_GIVEN,
    VOIDS,
    WAY_IN,
    WAY_IN_CHANCES,
    draw,
    enumerate_states,
    exact_value,
)

from wainscot.checks.worth import expected_value
from wainscot.diagnosis.kernel import Problem, run
from wainscot.diagnosis.populations import combine

LOSS = np.array([0.0, 300.0, 1200.0])
OPENING = np.array([120.0, 260.0, 180.0, 340.0, 90.0, 220.0, 400.0, 150.0])
KEEN = np.array([[0.97, 0.15, 0.05], [0.02, 0.60, 0.25], [0.01, 0.25, 0.70]])
DULL = np.array([[0.95, 0.70, 0.50], [0.04, 0.20, 0.20], [0.01, 0.10, 0.30]])
HALF = np.array([[0.90, 0.45, 0.30], [0.08, 0.35, 0.30], [0.02, 0.20, 0.40]])
CHECKS = [(void, power) for void in range(VOIDS) for power in (KEEN, DULL, HALF)][:20]


def exact_worths() -> np.ndarray:
    state = enumerate_states()
    return np.array([exact_value(state, LOSS, OPENING, power, at) for at, power in CHECKS])


def estimate(draws: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    _, soil = draw(enumerate_states(), draws, seed)
    outcome = np.stack([power[:, soil[:, at]] for at, power in CHECKS])
    worth = expected_value(LOSS[soil], OPENING, outcome)
    return worth.value, worth.error


def test_the_oracle_agrees_with_itself_when_a_check_shows_everything() -> None:
    # Closed form: a look that shows a void's soil for certain saves, in that void alone, the
    # difference between min(E loss, opening) and E min(loss, opening); other voids add the rest.
    state = enumerate_states(None)
    alone = np.full(VOIDS, 1e9)
    alone[3] = OPENING[3]
    given = np.array([[1.0, 0.0, 0.0], [0.35, 0.4, 0.25], [0.2, 0.45, 0.35]])[state.reach[:, 3]]
    soil = state.chance @ given
    by_hand = min(soil @ LOSS, alone[3]) - soil @ np.minimum(LOSS, alone[3])
    assert exact_value(state, LOSS, alone, np.eye(3), 3, None) == pytest.approx(by_hand, abs=1e-9)


@pytest.mark.parametrize("seed", [11, 12, 13])
def test_the_worth_of_twenty_checks_lies_within_its_error_of_the_exact_worth(seed: int) -> None:
    exact = exact_worths()
    value, error = estimate(4096, seed)
    off = np.abs(value - exact)
    assert (off <= 4.5 * error + 0.5).all(), (value, exact, error)
    assert off.max() <= 0.1 * exact.max()


@pytest.mark.parametrize("seed", [21, 22, 23, 24])
def test_the_best_of_twenty_is_the_exact_best(seed: int) -> None:
    exact = exact_worths()
    value, error = estimate(4096, seed)
    found, best = int(value.argmax()), int(exact.argmax())
    assert found == best or exact[best] - exact[found] <= error[found]


def test_the_stated_error_is_the_spread_seen_over_fresh_draws() -> None:
    values, errors = zip(*(estimate(2048, 100 + seed) for seed in range(40)), strict=True)
    spread, stated = np.std(values, axis=0, ddof=1), np.mean(errors, axis=0)
    # 40 repeats fix a spread to about 11 in 100; checks that hardly decide anything are left out,
    # because there the value is a sum of near ties.
    matter = np.mean(values, axis=0) > 5
    assert matter.sum() >= 8
    ratio = stated[matter] / spread[matter]
    assert ((ratio > 0.6) & (ratio < 1.6)).all(), ratio


def test_weighted_draws_give_what_repeated_draws_give() -> None:
    _, soil = draw(enumerate_states(), 600, 5)
    times = np.random.default_rng(6).integers(1, 4, size=600)
    outcome = np.stack([power[:, soil[:, at]] for at, power in CHECKS])
    weighted = expected_value(LOSS[soil], OPENING, outcome, weight=times.astype(float))
    again = np.repeat(np.arange(600), times)
    repeated = expected_value(LOSS[soil[again]], OPENING, outcome[:, :, again])
    assert weighted.value == pytest.approx(repeated.value, rel=1e-9, abs=1e-9)


def ladder_problem() -> Problem:
    """Return the oracle's ladder in the kernel's form; light soil was seen in void 6 for sure."""
    anywhere, seen = np.zeros((1, 3, 6)), np.zeros((1, 3, 6))
    anywhere[0, :, ::2] = SOIL_GIVEN
    seen[0, :, 2] = SOIL_GIVEN[:, 1]
    nothing = np.zeros(0, dtype=np.int32)
    return Problem(
        passage_ends=np.array(PASSAGES, dtype=np.int32),
        passage_prior=np.array(OPEN),
        source_void=np.array([WAY_IN], dtype=np.int32),
        source_prior=np.array([WAY_IN_CHANCES]),
        source_named=np.array([True]),
        load_prior=np.ones(1),
        row_of=np.array([1 if void == 6 else 0 for void in range(VOIDS)], dtype=np.int32),
        detail=np.stack([anywhere, seen]),
        zone_offsets=np.zeros(1, dtype=np.int32),
        zone_void=nothing,
        zone_hit=np.zeros((0, 3)),
        zone_false=np.zeros(0),
        zone_heard=np.zeros(0, dtype=np.bool_),
    )


def test_from_the_sampler_s_own_draws_the_worth_is_the_exact_worth() -> None:
    populations = run(ladder_problem(), seed=3, populations=8, chains=64, length=8)
    combined = combine(populations)
    soil = np.concatenate([one.soil for one in populations]).astype(int)
    weight = np.repeat(combined.weights, [len(one.soil) for one in populations])
    outcome = np.stack([power[:, soil[:, at]] for at, power in CHECKS])
    worth = expected_value(LOSS[soil], OPENING, outcome, weight)
    exact = exact_worths()
    assert len(soil) == 4096
    assert (np.abs(worth.value - exact) <= 4.5 * worth.error + 0.5).all(), (worth, exact)
    found, best = int(worth.value.argmax()), int(exact.argmax())
    assert found == best or exact[best] - exact[found] <= worth.error[found]

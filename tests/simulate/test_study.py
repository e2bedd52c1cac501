"""The measures that the studies judge the engine by, tried on numbers whose answer is known."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats
from study import first_three, ranks, scores
from study.__main__ import verdict
from study.svg import rank_histograms, reliability


def test_uniform_ranks_pass_and_skewed_ones_do_not() -> None:
    rng = np.random.default_rng(11)
    even = ranks.uniformity(rng.integers(0, 100, 500).astype(float))
    skewed = ranks.uniformity(np.floor(100 * rng.random(500) ** 1.5))
    shallow = ranks.uniformity(np.floor(100 * stats.beta(2, 2).rvs(500, random_state=rng)))
    assert verdict({"even": even})
    assert not verdict({"even": even, "skewed": skewed})
    assert not verdict({"shallow": shallow})
    assert sum(even["bars"]) == even["houses"] == 500


def test_ranks_that_are_missing_are_left_out() -> None:
    found = ranks.uniformity(np.array([0.0, 99.0, np.nan, 50.0]))
    assert found["houses"] == 3
    assert found["bars"][0] == found["bars"][19] == found["bars"][10] == 1


def test_the_band_of_a_histogram_is_that_of_the_binomial_law() -> None:
    """500 ranks in 20 bars: 2.5 standard deviations of 4.87 round 25."""
    low, high = ranks.uniformity(np.arange(500.0) % 100)["band_99"]
    assert (low, high) == (13.0, 38.0)


@pytest.mark.parametrize("p", [0.2, 0.9])
def test_the_band_of_equal_claims_is_that_of_the_binomial_law(p: float) -> None:
    low, high = first_three.band(np.full(100, p))
    assert low == stats.binom.ppf(0.005, 100, p)
    assert high == stats.binom.ppf(0.995, 100, p)


def test_scores_of_two_houses_worked_out_by_hand() -> None:
    houses = [
        {rule: [0.5, 1.0] for rule in scores.RULES} | {"truth": [1, 1]},
        {rule: [0.25] for rule in scores.RULES} | {"truth": [0]},
    ]
    found = scores.scores(houses)["engine"]
    assert found["brier"] == pytest.approx((0.125 + 0.0625) / 2, abs=1e-5)
    by_hand = (-np.log(0.5) - np.log(0.999)) / 2 / 2 - np.log(0.75) / 2
    assert found["log_loss"] == pytest.approx(by_hand, abs=1e-5)
    assert [row["true"] for row in found["reliability"]] == [0.0, 1.0, 1.0]


def test_pictures_are_drawn_of_every_statistic_and_rule() -> None:
    one = ranks.uniformity(np.arange(100.0))
    sheet = rank_histograms({"voids <ever> reached": one}, "title")
    assert "voids &lt;ever&gt; reached" in sheet
    assert sheet.count("<rect") == 2 + len(one["bars"])
    houses = [{rule: [0.5] for rule in scores.RULES} | {"truth": [1]}] * 2
    curves = reliability(scores.scores(houses), "title")
    assert all(rule in curves for rule in scores.RULES)

"""Absence after zero catches, indices and growth against published figures and worked answers.

epiR and RSurveillance: documentation of the R packages, read.  Rows marked "worked" were computed
from the named formula, outside the project.
"""

from __future__ import annotations

from math import ceil, log

import pytest

from wainscot.all_clear.absence import (
    after_return,
    best_stop,
    ceiling,
    chance_absent,
    detection,
    falling_sighting_chance,
    found_in_sample,
    nights_for_sensitivity,
    nights_needed,
    risk_weights,
    sample_size,
    sensitivity,
    sighting_chance,
    sighting_odds,
    together,
)
from wainscot.all_clear.growth import doubling, rate_of_increase, time_to_grow
from wainscot.all_clear.index import index

NIGHTS = [
    (0.05, 59, 90), (0.10, 29, 44), (0.13, 22, 34), (0.20, 14, 21), (0.30, 9, 13), (0.50, 5, 7),
]  # fmt: skip


@pytest.mark.parametrize(("chance", "for_95", "for_99"), NIGHTS)
def test_nights_that_would_catch_one(chance: float, for_95: int, for_99: int) -> None:
    # Worked: 1 - (1 - p)^n.
    assert nights_for_sensitivity(chance, 0.95) == for_95
    assert nights_for_sensitivity(chance, 0.99) == for_99


@pytest.mark.parametrize(
    ("survivors", "chance", "nights", "found"),
    [(1, 0.2, 7, 0.790), (1, 0.2, 14, 0.956), (2, 0.1, 14, 0.948), (3, 0.2, 7, 0.991)],
)
def test_several_survivors(survivors: int, chance: float, nights: int, found: float) -> None:
    assert sensitivity(chance, nights, survivors) == pytest.approx(found, abs=5e-4)


def test_chance_of_absence_as_epir_prints_it() -> None:
    assert chance_absent(0.8, 0.70) == pytest.approx(0.93, abs=0.005)
    assert chance_absent(0.8, 0.95) == pytest.approx(0.99, abs=0.005)
    # Worked.
    assert chance_absent(0.5, 0.9) == pytest.approx(0.9091, abs=5e-5)
    assert chance_absent(0.5, 0.947) < 0.95 < chance_absent(0.5, 0.948)


def test_time_step_and_plateau() -> None:
    # RSurveillance's call (0.8, 0.01, 0.5), worked: 0.495 and 0.8305.
    assert after_return(0.5, 0.01) == pytest.approx(0.495)
    assert chance_absent(after_return(0.5, 0.01), 0.8) == pytest.approx(0.8305, abs=5e-5)
    absent = 0.5
    for printed in (0.7102, 0.8555, 0.9326):
        absent = chance_absent(after_return(absent, 0.01), 0.6)
        assert absent == pytest.approx(printed, abs=5e-5)
    # epiR: with a return of 0.10, a sensitivity of 0.69 is needed for more than 0.95.
    assert ceiling(0.10, 0.69) == pytest.approx(0.9501, abs=5e-5)
    assert ceiling(0.10, 0.68) == pytest.approx(0.9477, abs=5e-5)
    assert ceiling(0.02, 0.60) == pytest.approx(0.9864, abs=5e-5)
    assert nights_needed(0.5, 0.68, 0.95, come_back=0.10) is None
    assert nights_needed(0.5, 0.69, 0.95, come_back=0.10) is not None


def test_samples_and_risk_weights_as_epir_prints_them() -> None:
    assert found_in_sample(300, 0.01, 0.95) == pytest.approx(0.943, abs=5e-4)
    assert sample_size(1000, 0.05, 0.9, 0.95) == pytest.approx(64.6, abs=0.05)
    assert risk_weights([5, 1], [0.1, 0.9]) == pytest.approx([3.6, 0.7], abs=0.05)
    assert risk_weights([5, 3, 1], [0.1, 0.1, 0.8]) == pytest.approx([3.1, 1.9, 0.6], abs=0.05)


@pytest.mark.parametrize(
    ("callback", "caught", "nights", "whole"),
    [(100, 0.13, 18.9, 19), (100, 0.5, 6.1, 6), (1000, 0.5, 9.4, 9), (1000, 0.2, 24.2, 24)],
)
def test_when_to_stop_by_cost(callback: float, caught: float, nights: float, whole: int) -> None:
    # Regan et al. 2006, formula from memory; worked, and by a search over whole nights.
    kept = 1 - caught
    assert best_stop(1.0, callback, kept) == pytest.approx(nights, abs=0.05)
    assert min(range(200), key=lambda n: n + kept**n * callback) == whole


def test_sighting_record_worked_with_the_monk_seal() -> None:
    # Solow 1993, figures of the example from memory: 4 sightings, the last at 37 of 77.
    assert sighting_chance(37, 77, 4) == pytest.approx(0.0533, abs=5e-5)
    assert sighting_odds(37, 77, 4) == pytest.approx(0.374, abs=5e-4)


@pytest.mark.parametrize(("count", "last", "empty"), [(4, 5, 6), (3, 3, 6), (6, 7, 5), (10, 7, 3)])
def test_empty_nights_after_a_record_of_catches(count: int, last: int, empty: int) -> None:
    # Worked: p <= 0.05 from T >= t_n 0.05^(-1/n) on.
    nights = next(n for n in range(100) if sighting_chance(last, last + n, count) <= 0.05)
    assert nights == empty
    assert nights == ceil(last * 0.05 ** (-1 / count)) - last


def test_a_record_whose_rate_falls_is_far_less_sure() -> None:
    # Example of the package sExtinct: 1, 0, 3, 4, 0, 1, 0, 1 from 1950 on, watched to 2012; no
    # figure is printed there.  Worked by both forms (Solow 1993; Solow 2005, equation 7).
    times = [0, 2, 2, 2, 3, 3, 3, 3, 5, 7]
    assert sighting_chance(7, 62, 10) == pytest.approx(3.37e-10, rel=2e-3)
    assert falling_sighting_chance(times, 62) == pytest.approx(0.240, abs=5e-4)


def test_fall_off_with_distance() -> None:
    # Worked with the urban roof rats of Mackenzie et al. 2022 (0.13, 25.37 m; abstract read).
    for distance, chance, in_15 in (
        (0, 0.1300, 0.876), (10, 0.1203, 0.854), (25.37, 0.0788, 0.708), (50, 0.0186, 0.246),
    ):  # fmt: skip
        one = detection(0.13, distance, 25.37)
        assert one == pytest.approx(chance, abs=5e-5)
        assert sensitivity(one, 15) == pytest.approx(in_15, abs=5e-4)
    # Russell et al. 2017 (abstract: 15 to 20 nights are best); worked for one trap at the middle.
    assert sensitivity(0.13, 30) == pytest.approx(0.985, abs=5e-4)
    night = together([detection(0.13, d, 25.37) for d in (0, 5, 10, 15, 20)])
    assert night == pytest.approx(0.4618, abs=5e-5)
    assert nights_for_sensitivity(night, 0.95) == 5


@pytest.mark.parametrize(
    ("nights", "catches", "empty", "convention", "value"),
    [
        (200, 6, 14, "every sprung trap", 3.158),
        (200, 6, 14, "sprung without a catch", 3.109),
        (60, 4, 10, "sprung without a catch", 7.273),
        (100, 9, 15, "sprung without a catch", 9.730),
    ],
)
def test_the_index_by_both_conventions(
    nights: int, catches: int, empty: int, convention: str, value: float
) -> None:
    # I = 100 C / (TN - S / 2): Nelson & Clark 1973 (from memory); a rat study's protocol (read).
    found = index(nights, catches, sprung_empty=empty, convention=convention)  # type: ignore[arg-type]
    assert found == pytest.approx(value, abs=5e-4)


def test_growth() -> None:
    # Bentley, Bathard & Riley 1959 (abstract read): 3 % and 11.8 % a week; worked doublings.
    slow, fast = log(1.03) / 7, log(1.118) / 7
    assert (slow, fast) == pytest.approx((0.00422, 0.01593), abs=5e-6)
    assert doubling(slow) / 7 == pytest.approx(23.4, abs=0.06)
    assert doubling(fast) / 7 == pytest.approx(6.2, abs=0.05)
    # Worked by Euler and Lotka over a year.
    for litters, young, first, rate in (
        (8, 5.5, 63, 0.0229), (5, 5, 91, 0.0146), (5, 8, 105, 0.0165),
    ):  # fmt: skip
        assert rate_of_increase(litters, young, first) == pytest.approx(rate, abs=1.5e-4)
    for rate, days in ((0.0229, 101), (0.0146, 158), (slow, 546)):
        assert time_to_grow(2, 20, rate) == pytest.approx(days, abs=1)


def test_the_rate_of_increase_of_two_litters_is_the_root_of_a_square() -> None:
    # Euler and Lotka with litters at half a year and a year: 2 x + 2 x^2 = 1 for x = exp(-182.5 r).
    x = (3**0.5 - 1) / 2
    assert rate_of_increase(2.0, 4.0, 182.5) == pytest.approx(-log(x) / 182.5, rel=1e-9)

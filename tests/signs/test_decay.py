"""Smell over time: like with like, a floor with its interval, and a floor as a sign."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from houses import as_job, bungalow
from wainscot import plan, voids
from wainscot.job import Job
from wainscot.signs import read
from wainscot.signs.decay import Floor, Reading, floor_of, readings_of, still_fed
from wainscot.signs.floors import floors, threshold_of


def _job(**more: Any) -> Job:
    document = bungalow()
    document["entities"] |= more
    return as_job(document)


def _reading(day: int, value: float, **more: Any) -> dict[str, Any]:
    plain = {
        "kind": "air_reading",
        "room": "kitchen",
        "of": "odour",
        "value": value,
        "at": f"2026-03-{day:02}",
        "outside": 8.0,
        "heating": True,
        "windows": "shut",
    }
    return plain | more  # fmt: skip


def test_like_is_compared_with_like_and_a_product_voids_a_reading() -> None:
    job = _job(
        r1=_reading(1, 4.0), r2=_reading(3, 3.0), r3=_reading(4, 0.5, windows="open"),
        r4=_reading(7, 0.1, product_days=2.0), r5=_reading(20, 2.0, outside=20.0),
        r6=_reading(21, 1.5, outside=11.0), r7=_reading(22, 1.4, product_days=17.0),
        # Nobody says so at this one, but the product of the 5th still hides the smell.
        r8=_reading(12, 0.2),
    )  # fmt: skip
    assert [one.value for one in readings_of(job, "kitchen", "odour")] == [4.0, 3.0, 1.5, 1.4]
    after = readings_of(job, "kitchen", "odour", since_cleaning=True)
    assert [one.value for one in after] == [1.5, 1.4]
    assert readings_of(_job(r1=_reading(1, 4.0)), "kitchen", "odour", since_cleaning=True) == ()


@pytest.mark.parametrize("floor", [0.0, 1.0])
def test_the_floor_is_found_and_its_interval_covers_it(floor: float) -> None:
    covered, rng = 0, np.random.default_rng(8)
    day = np.arange(0.0, 30.0, 2.0)
    for _ in range(100):
        value = floor + 3.0 * np.exp(-day / 6.0) + rng.normal(0, 0.1, len(day))
        found = floor_of([Reading(float(d), float(v)) for d, v in zip(day, value, strict=True)])
        assert found is not None
        covered += found.interval[0] <= floor <= found.interval[1]
    # 95 of 100 were the interval exact; 85 is four and a half binomial errors below.
    assert covered >= 85


def test_one_wild_reading_does_not_move_the_floor() -> None:
    day = np.arange(0.0, 30.0, 2.0)
    value = 1.0 + 3.0 * np.exp(-day / 6.0)
    value[9] += 2.0
    found = floor_of([Reading(float(d), float(v)) for d, v in zip(day, value, strict=True)])
    assert found is not None
    assert found.floor == pytest.approx(1.0, abs=0.1)
    assert still_fed(found, 0.3) is True


def test_what_readings_do_not_say_is_not_said() -> None:
    assert floor_of([Reading(0.0, 1.0)] * 4) is None
    assert floor_of([Reading(3.0, 1.0)] * 9) is None
    assert still_fed(None, 1.0) is None
    assert still_fed(Floor(1.0, (0.5, 1.5), 3.0, 8), 1.0) is None
    assert still_fed(Floor(0.2, (0.0, 0.4), 3.0, 8), 1.0) is False


def _cleaned(floor: float, of: str = "odour") -> dict[str, Any]:
    """Readings every other day from the fifteenth day after a product on."""
    return {
        f"a{n}": _reading(
            15 + n, floor + 3.0 * float(np.exp(-n / 3.0)), of=of, product_days=15.0 + n
        )
        for n in range(0, 16, 2)
    }


def test_a_smell_that_stays_after_cleaning_is_a_look_in_that_room() -> None:
    found = floors(_job(**_cleaned(2.0)))
    assert list(found) == ["kitchen-odour-floor"]
    look = found["kitchen-odour-floor"]
    assert look.place is not None
    assert look.place.of == "kitchen"
    assert [(one.kind, one.amount) for one in look.finds] == [("odour", "clear")]
    assert look.at.startswith("2026-03-29")
    assert not look.finished
    meter = floors(_job(**_cleaned(20.0, "ammonia ppm")))
    assert meter["kitchen-ammonia-ppm-floor"].finds[0].ppm == pytest.approx(20.0, rel=0.05)


def test_what_falls_below_the_threshold_or_was_never_cleaned_is_no_sign() -> None:
    assert floors(_job(**_cleaned(0.0))) == {}
    assert floors(_job(**_cleaned(12.0, "moisture percent"))) == {}
    uncleaned = {key: {**one, "product_days": None} for key, one in _cleaned(2.0).items()}
    assert floors(_job(**uncleaned)) == {}
    assert threshold_of("moisture percent") is None


def test_the_floor_weighs_in_the_evidence_as_a_smell_does() -> None:
    job = _job(**_cleaned(3.5))
    drawn = plan.read(job)
    graph = voids.build(drawn, "norway rat")
    evidence = read(job, drawn, graph, "norway rat")
    said = [one for one in evidence.statements if one.key == "kitchen-odour-floor"]
    assert [one.positive for one in said] == [True]
    curve = evidence.linear_log_likelihood[said[0].reading]
    assert curve[-1] > curve[0]
    before = read(_job(), drawn, graph, "norway rat")
    assert not before.linear_log_likelihood.size

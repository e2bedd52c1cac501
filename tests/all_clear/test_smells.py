"""What the readings of a room come to, in words and as data, on curves with a known floor."""

from __future__ import annotations

from math import exp
from typing import Any

import pytest

from houses import as_job, bungalow
from wainscot.all_clear.smells import Smell, smells_of
from wainscot.signs.rates import DEFAULT

CLEANED = {"product_days": 30.0}
"""Said at the first reading: a product was used a month before, so that it hides nothing now."""


def _smells(*values: float, of: str = "odour", room: str = "kitchen", **first: Any) -> Smell:
    document = bungalow()
    for n, value in enumerate(values):
        document["entities"][f"r{n}"] = {
            "kind": "air_reading", "room": room, "at": f"2026-03-{1 + 3 * n:02}", "of": of,
            "value": value, **(first if n == 0 else {}),
        }  # fmt: skip
    (found,) = smells_of(as_job(document))
    return found


def _to(floor: float, count: int = 8) -> list[float]:
    """Readings that fall by a curve without any error: what they fall to is known."""
    return [floor + 3.0 * exp(-3 * n / 5.0) for n in range(count)]


def test_without_readings_nothing_is_said() -> None:
    assert smells_of(as_job(bungalow())) == ()


def test_a_smell_above_its_threshold_after_cleaning_is_fed_and_counts() -> None:
    found = _smells(*_to(2.0), **CLEANED)
    assert (found.room, found.name, found.of) == ("kitchen", "Kitchen", "odour")
    assert (found.threshold, found.fed, found.cleaned) == (0.5, True, True)
    assert found.floor is not None
    assert found.floor.floor == pytest.approx(2.0, abs=1e-3)
    assert found.floor.time == pytest.approx(5.0, abs=1e-2)
    assert [one.value for one in found.readings] == pytest.approx(_to(2.0))
    assert found.words == (
        "Kitchen, odour: falls to 2 (95 % interval 2 to 2), above 0.5: something still feeds it; "
        "after cleaning, so it counts as a sign"
    )


def test_a_smell_that_nobody_told_a_cleaning_of_is_fed_and_no_sign() -> None:
    found = _smells(*_to(2.0))
    assert (found.fed, found.cleaned) == (True, False)
    assert found.words.endswith("something still feeds it; nobody told of a cleaning")


def test_only_readings_after_a_cleaning_that_hides_nothing_more_count() -> None:
    # Used on the first of the month, as the sixth reading tells; it hides a smell for two weeks.
    hidden = DEFAULT.kind("smell").number("product_days")
    document = bungalow()
    for n, value in enumerate(_to(2.0)):
        document["entities"][f"r{n}"] = {
            "kind": "air_reading", "room": "kitchen", "at": f"2026-03-{1 + 3 * n:02}",
            "of": "odour", "value": value, **({"product_days": 15.0} if n == 5 else {}),
        }  # fmt: skip
    (found,) = smells_of(as_job(document))
    assert found.cleaned
    assert [one.value for one in found.readings] == pytest.approx(
        [value for n, value in enumerate(_to(2.0)) if 3 * n >= hidden]
    )


def test_a_smell_below_its_threshold_is_fed_by_nothing() -> None:
    found = _smells(*_to(0.25))
    assert found.fed is False
    assert found.words == (
        "Kitchen, odour: falls to 0.25 (95 % interval 0.25 to 0.25), below 0.5: nothing feeds it"
    )


def test_where_the_interval_holds_the_threshold_one_reads_on() -> None:
    found = _smells(*(one + (0.3 if n % 2 else -0.3) for n, one in enumerate(_to(0.5))))
    assert found.floor is not None
    assert found.floor.interval[0] <= 0.5 < found.floor.interval[1]
    assert found.fed is None
    assert found.words.endswith("which does not say whether it ends below 0.5: go on reading")


def test_moisture_has_no_threshold_and_is_fed_by_nobody() -> None:
    found = _smells(*_to(12.0), of="moisture percent")
    assert (found.threshold, found.fed) == (None, None)
    assert found.words == "Kitchen, moisture percent: falls to 12 (95 % interval 12 to 12)"


def test_few_readings_tell_nothing_and_a_room_without_a_name_goes_by_its_id() -> None:
    found = _smells(3.0, 2.0, 1.5, 1.0, room="cellar")
    assert (found.floor, found.fed) == (None, None)
    assert found.threshold == 0.5
    assert found.words == (
        "cellar, odour: 4 readings in like air; from 5 on, as they fall, they tell"
    )


def test_each_room_and_sort_is_told_by_itself() -> None:
    document = bungalow()
    for n, (room, of) in enumerate((("kitchen", "odour"), ("bathroom", "odour"),
                                    ("kitchen", "ammonia ppm"))):  # fmt: skip
        document["entities"][f"r{n}"] = {
            "kind": "air_reading", "room": room, "at": "2026-03-01", "of": of, "value": 1.0,
        }  # fmt: skip
    found = smells_of(as_job(document))
    assert [(one.room, one.of) for one in found] == [
        ("bathroom", "odour"),
        ("kitchen", "ammonia ppm"),
        ("kitchen", "odour"),
    ]
    assert [len(one.readings) for one in found] == [1, 1, 1]

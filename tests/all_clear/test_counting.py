"""How many there were where the effort differed from round to round, and where it did not."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from houses import as_job, bungalow
from wainscot.all_clear import how_many
from wainscot.all_clear.removal import moran
from wainscot.job import Job


def _job(rounds: list[tuple[int, int]]) -> Job:
    """One trap that stood ready for so many nights a round, and what each look found in it."""
    document = bungalow()
    day = date(2026, 3, 1)
    document["entities"]["trap"] = {
        "kind": "trap", "place": {"of": "kitchen"}, "at": day.isoformat(),
    }  # fmt: skip
    for n, (nights, caught) in enumerate(rounds):
        # A trap found with a catch stood ready for half of the time.
        day += timedelta(days=2 * nights if caught else nights)
        document["entities"][f"check_{n}"] = {
            "kind": "trap_check", "trap": "trap", "at": day.isoformat(),
            "state": "caught" if caught else "set", "count": max(caught, 1),
            "species": "norway rat" if caught else "",
        }  # fmt: skip
    return as_job(document)


def test_unequal_effort_is_told_by_catch_per_night_even_where_catches_rise() -> None:
    # By hand: 64 animals, one in 32 caught a trap night: 16 nights take half, 8 nights a quarter.
    rounds = [(16, 32), (8, 8), (16, 12), (8, 3)]
    left = 64
    for nights, caught in rounds:
        assert caught == left * nights / 32
        left -= caught
    found = how_many(_job(rounds), "norway rat")
    assert found.catches == (32, 8, 12, 3)
    assert found.effort == (16.0, 8.0, 16.0, 8.0)
    assert found.likely is None
    assert found.line is not None
    assert found.line.number == pytest.approx(64)
    assert found.line.caught == pytest.approx(1 / 32)
    assert "too low" in found.why


def test_a_catch_per_night_that_does_not_fall_tells_nothing() -> None:
    found = how_many(_job([(16, 12), (8, 8), (4, 5)]), "norway rat")
    assert (found.likely, found.line) == (None, None)
    assert "the effort differed" in found.why
    few = how_many(_job([(16, 4), (8, 1), (4, 0)]), "norway rat")
    assert (few.likely, few.line) == (None, None)
    assert "fewer than 10 catches" in few.why


def test_equal_effort_goes_by_removal() -> None:
    # Carle & Strub 1978, example 1.
    found = how_many(_job([(5, 38), (5, 26), (5, 12)]), "norway rat")
    assert found.line is None
    assert found.likely is not None
    assert found.likely.number == pytest.approx(moran([38, 26, 12]).number)

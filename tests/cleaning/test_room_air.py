"""Drying in the air that somebody read; the cables' hold point; what waits for which signature."""

from __future__ import annotations

from typing import Any

import pytest

from houses import as_job, ranch
from wainscot import plan, voids
from wainscot.cleaning import closings, work_of
from wainscot.cleaning.drying import CIRCUITS, NOT_LOOKED_AT, cables_hold
from wainscot.cleaning.room_air import room_air
from wainscot.job import Job
from wainscot.signs.decay import series_of

WET = (
    ("moisture percent", 18.0, "01"),
    ("moisture percent", 17.0, "02"),
    ("moisture percent", 16.5, "03"),
)


def job_of(*read: tuple[str, float, str], **more: dict[str, Any]) -> Job:
    """A room with readings of May: what, how much, on which day."""
    readings = {
        f"r{n}": {"kind": "air_reading", "room": "den", "of": of, "value": value,
                  "at": f"2026-05-{day}T09:00:00+00:00"}
        for n, (of, value, day) in enumerate(read)
    }  # fmt: skip
    return Job("mill", entities={"den": {"kind": "room", "name": "Den"}, **readings, **more})


def signed(key: str, **more: str) -> dict[str, Any]:
    return {"kind": "release", "hold": key, "by": "E. Volt", "evidence": "F5, whole"} | more


def test_what_nobody_read_is_assumed_and_the_last_of_the_room_counts_where_somebody_did() -> None:
    (assumed,) = closings(job_of(*WET))
    assert (assumed.forecast.settles_at, assumed.air.count("assumed")) == (
        pytest.approx(9.2, abs=0.15), 2)  # fmt: skip
    # 50 F and 80 %: 16.4 % in the Wood Handbook's table 4-2 (from memory); never down to 15.
    cold = (*WET, ("temperature C", 22.0, "01"), ("temperature C", 10.0, "03"),
            ("humidity percent", 80.0, "03"))  # fmt: skip
    (found,) = closings(job_of(*cold))
    assert found.forecast.settles_at == pytest.approx(16.4, abs=0.15)
    assert not found.forecast.reachable
    assert found.air == "10 C, read in Den, 2026-05-03; 80 % of humidity, read in Den, 2026-05-03"


@pytest.mark.parametrize(("of", "value"), [("temperature C", 80.0), ("humidity percent", 0.0)])
def test_a_reading_that_no_room_can_have_is_passed_over(of: str, value: float) -> None:
    air = room_air(job_of((of, value, "03")), ["den"])
    assert (air.temperature, air.humidity) == (293.15, 0.5)
    assert room_air(job_of((of, 30.0, "03")), ["other"]).words.count("assumed") == 2


def test_the_air_itself_is_no_series_of_smell_or_damp() -> None:
    job = job_of(("temperature C", 20.0, "01"), ("odour", 2.0, "01"))
    assert series_of(job) == (("den", "odour"),)


def test_the_cables_bar_closing_until_the_electrician_signed_for_this_room() -> None:
    dry = ("moisture percent", 12.0, "04")
    (before,) = closings(job_of(dry))
    assert NOT_LOOKED_AT in before.bars
    assert [one.hold for one in before.signed_away] == [cables_hold("den")]
    other = closings(job_of(dry, sign=signed(cables_hold("attic").key)))[0]
    empty = closings(job_of(dry, sign=signed(cables_hold("den").key, evidence="")))[0]
    assert NOT_LOOKED_AT in other.bars
    assert NOT_LOOKED_AT in empty.bars
    (after,) = closings(
        job_of(dry, sign=signed(cables_hold("den").key), dead=signed(CIRCUITS))
    )  # fmt: skip
    assert (after.bars, after.signed_away) == ((), ())


def test_fans_and_wetting_name_the_stops_that_they_wait_for_until_those_are_signed() -> None:
    job = as_job(ranch())
    drawn = plan.read(job)
    graph = voids.build(drawn, "norway rat")
    work = work_of(job, drawn, graph, [0])
    assert work.wetting_waits == (CIRCUITS,)
    keys = {one.key: one.standing for one in work.holds}
    assert set(work.fans_wait) == {key for key, standing in keys.items()
                                   if standing != "care" and key != CIRCUITS}  # fmt: skip
    done = {f"s{n}": signed(key) for n, key in enumerate((CIRCUITS, *work.fans_wait))}
    released = Job(job.id, entities={**job.entities, **done})
    after = work_of(released, drawn, graph, [0])
    assert (after.wetting_waits, after.fans_wait) == ((), ())

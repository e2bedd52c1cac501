"""The firm's own score: what was advised before a bay was opened, and what was found in it."""

from __future__ import annotations

from functools import cache
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from study.suspected import suspected

from wainscot.diagnosis import diagnose
from wainscot.job import Job
from wainscot.record import Event, diff
from wainscot.score import JobScore, ended, lines, of_job, opened_in, score_of, shared
from wainscot.signs import DEFAULT

DRAWS = 256
LOOKED, OPENED, CLOSED, CALLED = (
    "2026-03-02T12:00+00:00", "2026-03-05T12:00+00:00", "2026-04-01T12:00+00:00",
    "2026-05-01T12:00+00:00",
)  # fmt: skip


@cache
def house() -> Job:
    """A house in which some bays were looked into and some opened three days later."""
    job = suspected(3, DEFAULT, rooms=1, control=4)
    entities = {key: {**one, "at": OPENED} if key.startswith("opened_") else one
                for key, one in job.entities.items()}  # fmt: skip
    return msgspec.structs.replace(job, entities=entities)


def without(job: Job, start: str) -> Job:
    """The job without the entities whose id begins so."""
    kept = {key: one for key, one in job.entities.items() if not key.startswith(start)}
    return msgspec.structs.replace(job, entities=kept)


def plus(job: Job, key: str, entity: dict[str, Any]) -> Job:
    """The job with one entity more."""
    return msgspec.structs.replace(job, entities={**job.entities, key: entity})


def written(*states: tuple[str, Job]) -> list[Event]:
    """The record of a job that went through these states."""
    events: list[Event] = []
    before = Job(id=states[0][1].id)
    for at, after in states:
        prev = events[-1].id if events else ""
        events += diff(before, after, device="van", seq=len(events) + 1, prev=prev, at=at,
                       prior=events)  # fmt: skip
        before = after
    return events


@cache
def record() -> tuple[Event, ...]:
    """Looks, openings, a closing and a callback."""
    closed = plus(house(), "end", {"kind": "closed", "at": CLOSED, "by": "office"})
    called = plus(closed, "again", {"kind": "callback", "at": CALLED, "because": "smell"})
    states = ((LOOKED, without(house(), "opened_")), (OPENED, house()), (CLOSED, closed),
              (CALLED, called))  # fmt: skip
    return tuple(written(*states))


@cache
def scored() -> JobScore:
    return of_job(record(), house().id, draws=DRAWS)


@given(st.integers(0, 400), st.integers(1, 400))
def test_the_interval_is_wilsons_as_scipy_has_it(hits: int, more: int) -> None:
    of = hits + more
    told = stats.binomtest(hits, of).proportion_ci(method="wilson")
    assert shared(hits, of).low == pytest.approx(told.low, abs=1e-9)
    assert shared(hits, of).high == pytest.approx(told.high, abs=1e-9)


def test_of_nothing_the_interval_is_everything() -> None:
    assert (shared(0, 0).low, shared(0, 0).high) == (0.0, 1.0)


def test_the_advice_is_that_of_the_day_before_and_does_not_know_what_was_found() -> None:
    before, _ = diagnose(without(house(), "opened_"), seed=1, draws=DRAWS)
    bands = {one.id: (one.band, one.soiled) for one in before.voids}
    opened = scored().opened
    assert len(opened) == sum(key.startswith("opened_") for key in house().entities)
    assert all((one.band, one.chance) == bands[one.void] for one in opened)
    # With the openings in the log these bays would read "seen".
    assert "seen" not in {one.band for one in opened}


def test_what_was_found_is_told_as_it_was_logged() -> None:
    for one in scored().opened:
        finds = house().entities[one.inspection]["finds"]
        said = next(find["amount"] for find in finds if find["kind"] == "opened and seen")
        assert (one.seen, one.soiled) == (said, said != "clean")


def test_every_bay_that_counts_stands_in_one_row() -> None:
    score = score_of([scored()])
    bays = [one for one in scored().opened if not one.left_out]
    assert sum(row.right.of for row in score.rows) + score.not_drawn == len(bays)
    soiled = sum(row.right.hits for row in score.rows if row.band != "leave")
    soiled += sum(row.right.of - row.right.hits for row in score.rows if row.band == "leave")
    assert soiled == sum(one.soiled for one in bays if one.band != "not drawn")


def test_a_job_that_came_in_as_one_file_is_told_apart_by_its_dates() -> None:
    whole = written((CLOSED, house()))
    told = opened_in(whole, house().id, draws=DRAWS)
    assert [(one.inspection, one.band) for one in told] == [
        (one.inspection, one.band) for one in scored().opened
    ]


def test_an_opening_withdrawn_never_was_and_one_seen_in_part_is_told_and_not_counted() -> None:
    first, second = sorted(key for key in house().entities if key.startswith("opened_"))[:2]
    part = plus(house(), second, {**house().entities[second], "share_seen": 0.5})
    events = written((LOOKED, without(house(), "opened_")), (OPENED, part),
                     (CLOSED, without(part, first)))  # fmt: skip
    opened = opened_in(events, house().id, draws=DRAWS)
    assert first not in {one.inspection for one in opened}
    assert {one.inspection for one in opened if one.left_out == "part"} == {second}
    assert score_of([JobScore("one", "", opened)]).left_out == 1


def test_a_callback_counts_against_the_job_and_an_open_job_counts_nowhere() -> None:
    assert scored().callbacks == 1
    quiet = JobScore("another", "")
    score = score_of([scored(), quiet])
    assert (score.callbacks.hits, score.callbacks.of) == (1, 2)
    assert not ended(house())
    assert ended(plus(house(), "end", {"kind": "closed", "at": CLOSED, "by": "office"}))


def test_the_lines_name_the_interval_and_nothing_is_claimed_of_no_job() -> None:
    assert "Wilson" in " ".join(lines(score_of([scored()])))
    assert lines(score_of([])) == ["No job is closed yet, so there is nothing to score."]

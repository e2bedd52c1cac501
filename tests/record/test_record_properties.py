"""For any jobs and any order of arrival: what went in comes out."""

from __future__ import annotations

import random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from wainscot.job import Job
from wainscot.record import Event, canonical, diff, fold

TEXT = st.text(st.characters(codec="utf-8"), max_size=6)
PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.floats(-5, 5) | TEXT,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
    max_leaves=5,
)
FIELDS = st.dictionaries(st.sampled_from("abcdef"), PLAIN, max_size=4)
JOBS = st.builds(
    lambda title, units, entities: Job("j", title=title, units=units, entities=entities),
    TEXT,
    st.sampled_from(["m", "ft-in"]),
    st.dictionaries(st.sampled_from(["r1", "r2", "r3"]), FIELDS, max_size=3),
)
DEVICES = ["van", "phone", "office"]


def _bytes(job: Job) -> bytes:
    """Return everything a job holds in a form that tells 1 from true."""
    return canonical([job.id, job.title, job.units, job.entities, [c.lost for c in job.conflicts]])


def _at(minute: int) -> str:
    return f"2025-03-14T{minute // 60:02d}:{minute % 60:02d}:00+00:00"


@given(JOBS)
def test_events_from_nothing_restore_a_job(job: Job) -> None:
    events = diff(Job("j"), job, device="van", seq=1, prev="", at=_at(0))
    assert _bytes(fold(events, "j")) == _bytes(job)


@given(JOBS, JOBS)
def test_events_of_a_and_the_difference_restore_b(a: Job, b: Job) -> None:
    first = diff(Job("j"), a, device="van", seq=1, prev="", at=_at(5))
    then = diff(a, b, device="van", seq=1 + len(first), prev="", at=_at(5))
    assert _bytes(fold([*first, *then], "j")) == _bytes(b)


@st.composite
def records(draw: st.DrawFn) -> list[Event]:
    """A record that three devices with wrong clocks wrote, each knowing only part of it."""
    log: list[Event] = []
    counters = dict.fromkeys(DEVICES, 0)
    heads = dict.fromkeys(DEVICES, "")
    for _ in range(draw(st.integers(0, 6))):
        device = draw(st.sampled_from(DEVICES))
        foreign = [one for one in log if one.device != device]
        seen = draw(st.sets(st.sampled_from(range(len(foreign))))) if foreign else set()
        known = [one for one in log if one.device == device]
        known += [one for n, one in enumerate(foreign) if n in seen]
        made = diff(
            fold(known, "j"), draw(JOBS), device=device, seq=counters[device] + 1,
            prev=heads[device], at=_at(draw(st.integers(0, 600))), prior=known,
        )  # fmt: skip
        counters[device] += len(made)
        heads[device] = made[-1].id if made else heads[device]
        log += made
    return log


@settings(max_examples=150, deadline=None)
@given(records(), st.integers(0, 2**32))
def test_order_and_repetition_of_arrival_change_nothing(log: list[Event], seed: int) -> None:
    wanted = fold(log, "j")
    shuffled = random.Random(seed).sample(log + log[::2], len(log + log[::2]))
    job = fold(shuffled, "j")
    assert job == wanted
    assert _bytes(job) == _bytes(wanted)


@settings(max_examples=150, deadline=None)
@given(records(), JOBS, st.sampled_from([*DEVICES, "new"]), st.integers(0, 600))
def test_an_import_restores_the_edited_job_and_settles_every_conflict(
    log: list[Event], edited: Job, device: str, minute: int
) -> None:
    seq = 1 + max((one.seq for one in log if one.device == device), default=0)
    made = diff(
        fold(log, "j"), edited, device=device, seq=seq, prev="", at=_at(minute), prior=log
    )  # fmt: skip
    assert _bytes(fold([*log, *made], "j")) == _bytes(edited)
    assert fold([*log, *made], "j").conflicts == ()


@settings(max_examples=100, deadline=None)
@given(records(), st.integers(0, 600))
def test_an_import_that_changes_nothing_writes_nothing(log: list[Event], minute: int) -> None:
    job = fold(log, "j")
    assert diff(job, job, device="new", seq=1, prev="", at=_at(minute), prior=log) == ()


@settings(max_examples=100, deadline=None)
@given(records(), st.data())
def test_an_edit_keeps_the_conflicts_that_it_does_not_touch(log: list[Event], data: Any) -> None:
    job = fold(log, "j")
    edited = Job("j", job.title + "!", job.units, job.entities, job.conflicts)
    seq = 1 + max((one.seq for one in log if one.device == "van"), default=0)
    made = diff(job, edited, device="van", seq=seq, prev="", at=_at(0), prior=log)
    kept = [one for one in job.conflicts if (one.entity, one.field) != ("", "title")]
    assert list(fold([*log, *made], "j").conflicts) == kept

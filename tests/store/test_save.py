"""An edited job file: the record gets its difference, whoever wrote meanwhile keeps their word."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from devices import LATER, NOW, Device, day, lines

from wainscot import job as jobs
from wainscot.job import Conflict, Job
from wainscot.record import told
from wainscot.store import Store, StoreError


def _with(job: Job, key: str, **fields: Any) -> Job:
    entities = {**job.entities, key: {**job.entities.get(key, {}), **fields}}
    return msgspec.structs.replace(job, entities=entities)


ROOM = {"kind": "room", "name": "Kitchen"}
MILL = Job(
    "job_a", title="Mill", units="ft-in", entities={"r": ROOM, "s": {**ROOM, "name": "Hall"}}
)


def test_state_is_equal_both_ways(store: Store) -> None:
    store.save(MILL, at=NOW, writer="w")
    text = jobs.write(store.job("job_a"))
    assert jobs.read(text) == MILL
    assert store.save(jobs.read(text), at=LATER, writer="w") == ()


def test_only_the_difference_is_written_and_in_one_chain(store: Store) -> None:
    first = store.save(MILL, at=NOW, writer="w")
    (change,) = store.save(_with(MILL, "r", name="Scullery"), at=LATER, writer="w")
    assert (change.entity, change.field, told(change)) == ("r", "name", "Scullery")
    assert (change.device, change.seq, change.prev) == ("office", len(first) + 1, first[-1].id)
    (chain,) = store.chains()
    assert chain.whole


def test_an_edit_on_top_of_a_conflict_can_settle_it(store: Store) -> None:
    store.append(lines(*day(Device("a"), 40), *day(Device("b"), 40)), received=NOW)
    torn = store.job("job_a")
    assert torn.conflicts
    store.save(msgspec.structs.replace(torn, conflicts=()), at=LATER, writer="w")
    assert store.job("job_a") == msgspec.structs.replace(torn, conflicts=())


def test_a_file_taken_before_others_wrote_undoes_nothing_of_theirs(store: Store) -> None:
    store.save(MILL, at=NOW, writer="w")
    base = store.events("job_a")
    phone = Device("phone")
    phone.seq, phone.prev = 0, ""
    theirs = [
        phone.write(entity="r", field="name", value="Pantry", supersedes=(base[-1].id,)),
        phone.room("t", "Attic"),
    ]
    store.append(lines(*theirs), received=NOW)
    store.save(MILL_EDITED, at=LATER, writer="file-1", base=base)
    merged = store.job("job_a")
    assert merged.entities["t"]["name"] == "Attic"
    assert merged.entities["s"]["name"] == "Passage"
    assert [(one.entity, one.field) for one in merged.conflicts] == [("r", "name")]
    (conflict,) = merged.conflicts
    assert {merged.entities["r"]["name"], *(text.strip('"') for text in conflict.lost)} >= {
        "Pantry", "Scullery",
    }  # fmt: skip


MILL_EDITED = _with(_with(MILL, "r", name="Scullery"), "s", name="Passage")


def test_a_file_taken_before_this_record_itself_wrote_shows_as_a_conflict_too(store: Store) -> None:
    store.save(MILL, at=NOW, writer="w")
    base = store.events("job_a")
    store.save(_with(MILL, "r", name="Larder"), at=NOW, writer="w")
    store.save(_with(MILL, "r", name="Scullery"), at=LATER, writer="file-1", base=base)
    (conflict,) = store.job("job_a").conflicts
    assert conflict.lost == ('"Larder"',)
    assert {chain.device for chain in store.chains()} == {"office", "file-1"}


def test_a_fresh_base_is_a_plain_edit(store: Store) -> None:
    store.save(MILL, at=NOW, writer="w")
    made = store.save(MILL_EDITED, at=LATER, writer="w", base=store.events("job_a"))
    assert {one.device for one in made} == {"office"}


def test_a_conflict_that_the_record_does_not_have_is_refused(store: Store) -> None:
    made_up = msgspec.structs.replace(MILL, conflicts=(Conflict("r", "name", "x", ("y",)),))
    with pytest.raises(StoreError, match="conflicts"):
        store.save(made_up, at=NOW, writer="w")
    assert store.counts().events == 0

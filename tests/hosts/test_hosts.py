"""Two servers and two workers on one PostgreSQL; a worker is killed in the middle of a walk."""

from __future__ import annotations

import signal
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import msgspec
import pytest
from fleet import Fleet

from wainscot.api.queued import Queue, QueuedWalks
from wainscot.api.running import Ended
from wainscot.api.working import Works
from wainscot.job import Job
from wainscot.record import Event, event, line_of
from wainscot.store import Postgres, Store, StoreError, check_store

NOW = "2025-03-14T10:00:00+00:00"
PATIENCE = 120.0
HOUSE = Job("job_a", "Mill", entities={
    "s": {"kind": "storey", "name": "Ground floor"},
    "r": {"kind": "room", "storey": "s", "name": "Hall",
          "polygon": [[0, 0], [3, 0], [3, 4], [0, 4]]},
    "i": {"kind": "inspection", "place": {"of": "r"},
          "finds": [{"kind": "droppings", "amount": "many"}]},
})  # fmt: skip


def _until(true: Callable[[], Any]) -> Any:
    until = time.monotonic() + PATIENCE
    while not (told := true()):
        assert time.monotonic() < until
        time.sleep(0.05)
    return told


@pytest.fixture
def store(tmp_path: Path, cluster: Any) -> Iterator[Store]:
    made = Store.create(tmp_path / "record", device="office", address=cluster.new())
    yield made
    made.close()


def _database(store: Store) -> Postgres:
    assert isinstance(store.database, Postgres)
    return store.database


def _titled(job: str, text: str, seq: int = 1, device: str = "phone") -> Event:
    return event("set", job=job, device=device, seq=seq, prev="" if seq == 1 else "x", at=NOW,
                 field="title", value=text)  # fmt: skip


def test_a_walk_outlives_the_worker_that_had_it_and_is_answered_once(store: Store) -> None:
    for job in (HOUSE, Job("job_b", "Barn")):
        store.save(job, at=NOW, writer="w")
    phone = httpx.Client(timeout=PATIENCE)
    fleet = Fleet(store.layout.folder, _database(store).address)
    try:
        first = fleet.worker()
        one, two = fleet.server(), fleet.server()
        assert Queue(_database(store)).worked_on()
        ask = {"seed": 3, "draws": 256}
        made = phone.post(f"{one}/api/jobs/job_a/walks", json=ask).json()
        path = f"/api/jobs/job_a/walks/{made['id']}"
        # The other server knows of it, and asking there for the same begins nothing new.
        assert phone.post(f"{two}/api/jobs/job_a/walks", json=ask).json()["id"] == made["id"]
        _until(lambda: phone.get(f"{two}{path}").json()["state"] == "running")
        first.send_signal(signal.SIGKILL)
        lines = [line_of(_titled("job_b", "While one was gone", device="other")).decode()]
        sent = phone.post(f"{two}/api/jobs/job_b/events", json={"lines": lines})
        assert sent.json()["tally"]["added"] == 1
        second = fleet.worker()
        with phone.stream("GET", f"{two}{path}/progress") as told:
            events = [line for line in told.iter_lines() if line.startswith("event: ")]
        assert events[-1] == "event: done"
        answers = [phone.get(f"{each}{path}/answer").content for each in (one, two)]
        assert answers[0] == answers[1]
        assert msgspec.json.decode(answers[0])["diagnosis"]["verdict"]
        assert phone.get(f"{one}{path}/pocket").status_code == 200
        with _database(store).beside() as connection:
            rows = connection.exec_driver_sql("SELECT state, tries FROM work").all()
        assert rows == [("done", 2)]
        # Papers go the same way, and lie in the record that both servers read.
        paper = phone.post(f"{two}/api/jobs/job_a/papers", json={"kind": "call-sheet"}).json()
        done = f"/api/jobs/job_a/walks/{paper['id']}"
        _until(lambda: phone.get(f"{one}{done}").json()["state"] in ("done", "failed"))
        (about,) = phone.get(f"{one}/api/jobs/job_a/papers").json()["papers"]
        pdf = phone.get(f"{one}/api/jobs/job_a/papers/{about['digest']}")
        assert pdf.content.startswith(b"%PDF")
        second.send_signal(signal.SIGTERM)
        assert second.wait(PATIENCE) == 0
    finally:
        fleet.stop()
        phone.close()
    assert [one.told for one in check_store(store) if one.state == "bad"] == []


def test_only_who_has_a_row_answers_it(store: Store) -> None:
    walks = QueuedWalks(_database(store))
    rows = Queue(_database(store))
    assert not walks.worked_on()
    made = walks.ask("job", through=1, job=Job("job"), seed=1, draws=256)
    taken = rows.take(made.id, "a")
    assert taken is not None
    assert taken["task"] == msgspec.msgpack.encode(made.task)
    assert rows.tell(made.id, "a", 0.5)
    assert rows.take(made.id, "b") is not None
    assert not rows.tell(made.id, "a", 0.9)
    assert not rows.end(made.id, "a", Ended("done", b"{}"))
    assert rows.end(made.id, "b", Ended("done", b"{1}", b"p"))
    assert not rows.end(made.id, "b", Ended("done", b"{2}"))
    assert rows.take(made.id, "c") is None
    found = walks.find(made.id)
    assert found is not None
    assert (found.state, found.answer, found.pocket, found.share) == ("done", b"{1}", b"p", 1.0)
    assert walks.ask("job", through=1, job=Job("job"), seed=1, draws=256).id == made.id
    assert walks.running("job") is None
    walks.close()


def test_newer_input_takes_the_place_of_older_wherever_it_runs(store: Store) -> None:
    one, two = QueuedWalks(_database(store)), QueuedWalks(_database(store))
    rows = Queue(_database(store))
    old = one.ask("job", through=1, job=Job("job"), seed=1, draws=256)
    rows.take(old.id, "a")
    new = two.ask("job", through=2, job=Job("job"), seed=1, draws=256)
    found = one.find(old.id)
    assert found is not None
    assert (found.state, found.by) == ("superseded", new.id)
    assert not rows.tell(old.id, "a", 0.5)
    running = one.running("job")
    assert running is not None
    assert running.id == new.id
    for n in range(25):
        last = one.ask("job", through=3 + n, job=Job("job"), seed=1, draws=256)
    with rows.change() as connection:
        held = connection.exec_driver_sql("SELECT count(*) FROM work").scalar_one()
    assert held <= 22
    assert one.find(last.id) is not None
    assert one.find(new.id) is None
    # A row whose task never came is found.
    assert rows.lost(0.0) == [last.id]
    one.close()
    two.close()


def test_what_takes_three_workers_with_it_is_not_given_to_a_fourth(store: Store) -> None:
    walks, works = QueuedWalks(_database(store)), Works(store, 60.0)
    made = walks.ask("job", through=1, job=Job("job"), seed=1, draws=256)
    for n in range(3):
        works.queue.take(made.id, f"gone_{n}")
    works.do(made.id, lambda: False)
    found = walks.find(made.id)
    assert found is not None
    assert (found.state, found.reason) == ("failed", "it ended three workers")
    walks.close()


def test_a_worker_that_stops_gives_back_what_it_does_not_finish(store: Store) -> None:
    walks, works = QueuedWalks(_database(store)), Works(store, 60.0)
    made = walks.ask("job", through=1, job=Job("job"), seed=1, draws=256)
    works.do(made.id, lambda: True)
    found = walks.find(made.id)
    assert found is not None
    assert found.state == "waiting"
    works.do(made.id, lambda: False)
    found = walks.find(made.id)
    assert found is not None
    assert found.state in ("done", "failed")
    works.close()
    walks.close()


def test_a_worker_needs_postgresql(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "record", device="office")
    with pytest.raises(StoreError, match="WAINSCOT_DATABASE"):
        Works(store, 1.0)
    store.close()


def test_an_older_queue_goes_once_nobody_has_used_it_for_thirty_days(store: Store) -> None:
    database = _database(store)

    def schemas() -> set[str]:
        Queue(database)
        with database.reading() as connection:
            found = connection.exec_driver_sql("SELECT nspname FROM pg_namespace")
            return {one for one in found.scalars() if one.startswith("queue_")}

    def change(*commands: str) -> None:
        with database.writing() as connection:
            for one in commands:
                connection.exec_driver_sql(one)

    [ours] = schemas()
    mark = "COMMENT ON SCHEMA queue_1_0 IS 'idle since {}+00:00'"
    beats = "queue_1_0.procrastinate_workers"
    change(
        "CREATE SCHEMA queue_1_0", f"CREATE TABLE {beats} (last_heartbeat timestamptz)",
        "CREATE SCHEMA queue_99_0", "COMMENT ON SCHEMA queue_99_0 IS 'idle since 2001-01-01'",
        "CREATE SCHEMA queue_mine",
    )  # fmt: skip
    every = {ours, "queue_1_0", "queue_99_0", "queue_mine"}
    assert schemas() == every  # seen idle for the first time
    change(mark.format("2001-01-01T00:00:00"), f"INSERT INTO {beats} VALUES (now())")
    assert schemas() == every  # a worker in it lives, so the mark goes
    change(f"DELETE FROM {beats}")
    assert schemas() == every
    change(mark.format("2001-01-01T00:00:00"))
    assert schemas() == every - {"queue_1_0"}  # newer ones and those of others stay

"""Walks: progress as it goes, newer input in place of older, faults told, nothing left running."""

from __future__ import annotations

import json
import queue
import threading
import time
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import msgspec
import pytest
from firm import NOW, Firm, limited, open_firm

from wainscot import demos
from wainscot import job as jobs
from wainscot.access import own_cuts, site_of
from wainscot.api import walks as module
from wainscot.api.running import Ended
from wainscot.api.walks import Walk, Walks
from wainscot.api.working import Works
from wainscot.job import Job
from wainscot.programme import first_day
from wainscot.sealing import Terms
from wainscot.store import FirmRates, StoreError, keep_rates
from wainscot.walk import survey
from wainscot.walk import walk as walk_here

ROOM = {"kind": "room", "storey": "s", "name": "Hall", "polygon": [[0, 0], [3, 0], [3, 4], [0, 4]]}
LOOK = {"kind": "inspection", "place": {"of": "r"},
        "finds": [{"kind": "droppings", "amount": "many"}]}  # fmt: skip


def _draw(firm: Firm) -> None:
    """Draw a small house as ``job_a``."""
    ann = firm.phones["Ann"]
    firm.send("Ann", "job_a", ann.add("job_a", "s", kind="storey", name="Ground floor"),
              ann.add("job_a", "r", **ROOM), ann.add("job_a", "i", **LOOK))  # fmt: skip


def _events(text: str) -> list[tuple[str, dict[str, Any]]]:
    """Return name and data of each event of a stream (HTML standard, 9.2.6)."""
    found = []
    for block in text.replace("\r\n", "\n").strip().split("\n\n"):
        fields = dict(line.split(": ", 1) for line in block.split("\n") if ": " in line)
        found.append((fields["event"], json.loads(fields["data"])))
    return found


def test_a_walk_tells_how_far_it_is_and_gives_answer_and_pocket(firm: Firm) -> None:
    _draw(firm)
    ask = {"seed": 3, "draws": 256}
    made = firm.ask("Ann", "POST", "/api/jobs/job_a/walks", json=ask)
    assert made.status_code == 202
    path = f"/api/jobs/job_a/walks/{made.json()['id']}"
    assert (
        firm.ask("Ann", "POST", "/api/jobs/job_a/walks", json=ask).json()["id"]
        == (made.json()["id"])
    )
    for what in ("answer", "pocket"):
        assert firm.ask("Ann", "GET", f"{path}/{what}").json()["code"] == "not-calculated"
    got = firm.ask("Ann", "GET", f"{path}/progress")
    assert got.headers["content-type"].startswith("text/event-stream")
    told = _events(got.text)
    shares = [data["share"] for _, data in told]
    assert shares == sorted(shares)
    assert len(set(shares)) > 1
    assert (told[-1][0], shares[-1]) == ("done", 1.0)
    # The answer is that of the command line.
    answer = firm.ask("Ann", "GET", f"{path}/answer").json()["diagnosis"]
    here = walk_here(firm.store.job("job_a"), seed=3, draws=256)
    assert answer["verdict"] == here.diagnosis.verdict
    _pocket_once(firm, path, answer)
    assert firm.ask("Ann", "GET", path).json()["current"] is True
    firm.send("Ann", "job_a", firm.phones["Ann"].title("job_a", "Another name"))
    assert firm.ask("Ann", "GET", path).json()["current"] is False
    assert firm.ask("Lea", "GET", path.replace("job_a", "job_b")).status_code == 404


def _pocket_once(firm: Firm, path: str, answer: dict[str, Any]) -> None:
    """A phone gets a pocket with an answer, and not twice."""
    told = firm.ask("Ann", "GET", f"{path}/pocket")
    assert told.headers["content-encoding"] == "gzip"
    pocket = told.json()
    assert (pocket["answer"], pocket["module"]) == (answer["digest"], answer["module"])
    assert {one["id"] for one in answer["voids"]} == set(pocket["shapes"][0]["keys"])
    assert list(pocket["inspections"]) == ["i"]
    tag = {"if-none-match": told.headers["etag"]}
    assert firm.ask("Ann", "GET", f"{path}/pocket", headers=tag).status_code == 304


def test_the_outlines_of_voids_need_no_walk(firm: Firm) -> None:
    _draw(firm)
    path = "/api/jobs/job_a/outlines"
    told = firm.ask("Ann", "GET", path).json()
    here = survey(firm.store.job("job_a")).graph
    assert [one["id"] for one in told["voids"]] == [
        key for key, hidden in zip(here.keys, here.hidden, strict=True) if hidden
    ]
    assert told["runs"] == []
    assert firm.ask("Ann", "GET", path).json() == told
    firm.send("Ann", "job_a", firm.phones["Ann"].add("job_a", "r2", kind="room", nmae="Hall"))
    assert firm.ask("Ann", "GET", path).json()["code"] == "not-calculated"
    assert firm.ask("Lea", "GET", "/api/jobs/none/outlines").status_code == 404


def test_cuts_that_somebody_drew_are_judged_without_a_walk(firm: Firm) -> None:
    _draw(firm)
    path = "/api/jobs/job_a/cuts"
    assert firm.ask("Ann", "POST", path).json() == []
    ann = firm.phones["Ann"]
    cut = {"kind": "own_cut", "room": "r", "side": "n1", "along": 0.3, "width": 0.9, "height": 0.4}
    firm.send("Ann", "job_a", ann.add("job_a", "mine", **cut))
    (told,) = firm.ask("Ann", "POST", path).json()
    seen = survey(firm.store.job("job_a"))
    (here,) = own_cuts(seen.plan, seen.graph, site_of(seen.job))
    assert told == json.loads(msgspec.json.encode(here))
    assert told["standing"] == "not known", "nobody measured the first stud"
    firm.send("Ann", "job_a", ann.add("job_a", "r2", kind="room", nmae="Hall"))
    assert firm.ask("Ann", "POST", path).json()["code"] == "not-calculated"
    assert firm.ask("Lea", "POST", "/api/jobs/none/cuts").status_code == 404


def test_ranges_come_when_they_are_asked_for(firm: Firm) -> None:
    _draw(firm)
    path = "/api/jobs/job_a/walks"
    plain = firm.ask("Ann", "POST", path, json={"draws": 256}).json()["id"]
    firm.ask("Ann", "GET", f"{path}/{plain}/progress")
    find = firm.ask("Ann", "GET", f"{path}/{plain}/answer").json()["find"]
    assert find["voids"]
    assert {one["range"] for one in find["voids"].values()} == {None}
    more = firm.ask("Ann", "POST", path, json={"draws": 256, "ranges": True}).json()["id"]
    assert more != plain
    firm.ask("Ann", "GET", f"{path}/{more}/progress")
    given = firm.ask("Ann", "GET", f"{path}/{more}/answer").json()
    chance = {one["id"]: one["soiled"] for one in given["diagnosis"]["voids"]}
    for key, one in given["find"]["voids"].items():
        assert one["range"]["low"] - 0.05 <= chance[key] <= one["range"]["high"] + 0.05
    # What has more serves who asks for less.
    assert firm.ask("Ann", "POST", path, json={"draws": 256}).json()["id"] == more


def test_what_is_wanted_of_the_openings_is_held_and_the_sheet_shows_them(firm: Firm) -> None:
    _draw(firm)
    path = "/api/jobs/job_a/walks"

    def walked(**ask: Any) -> tuple[str, dict[str, Any]]:
        made = firm.ask("Ann", "POST", path, json={"draws": 256, **ask}).json()["id"]
        firm.ask("Ann", "GET", f"{path}/{made}/progress")
        return made, firm.ask("Ann", "GET", f"{path}/{made}/answer").json()["openings"]

    _, free = walked()
    first = free["balanced"]["openings"][0]
    made, without = walked(without=[first])
    assert first not in [one["id"] for one in without["openings"]]
    asked = firm.ask("Ann", "POST", "/api/jobs/job_a/sheets", json={"walk": made, "which": "all"})
    assert asked.status_code == 202
    sheet = asked.json()["id"]
    firm.ask("Ann", "GET", f"{path}/{sheet}/progress")
    paper = firm.ask("Ann", "GET", f"{path}/{sheet}/paper")
    assert paper.headers["content-type"] == "application/pdf"
    assert paper.content.startswith(b"%PDF")
    # A sheet is no answer, an answer no paper; of a job that changed no sheet is made.
    assert firm.ask("Ann", "GET", f"{path}/{sheet}/answer").json()["code"] == "not-calculated"
    assert firm.ask("Ann", "GET", f"{path}/{made}/paper").json()["code"] == "not-calculated"
    firm.send("Ann", "job_a", firm.phones["Ann"].title("job_a", "Another name"))
    late = firm.ask("Ann", "POST", "/api/jobs/job_a/sheets", json={"walk": made})
    assert late.json()["code"] == "not-calculated"
    # What cannot be had is told with its cure.
    bad = firm.ask("Ann", "POST", path, json={"draws": 256, "must": ["X99"]}).json()["id"]
    _, told = _events(firm.ask("Ann", "GET", f"{path}/{bad}/progress").text)[-1]
    assert (told["state"], bool(told["faults"][0]["cure"])) == ("failed", True)


def test_a_job_with_faults_fails_with_each_of_them(firm: Firm) -> None:
    firm.send("Ann", "job_a", firm.phones["Ann"].add("job_a", "r", kind="room", nmae="Hall"))
    made = firm.ask("Ann", "POST", "/api/jobs/job_a/walks", json={}).json()
    path = f"/api/jobs/job_a/walks/{made['id']}"
    name, told = _events(firm.ask("Ann", "GET", f"{path}/progress").text)[-1]
    assert (name, told["reason"]) == ("failed", "the job has faults")
    assert {"missing-field", "unknown-field"} <= {one["code"] for one in told["faults"]}
    again = firm.ask("Ann", "POST", "/api/jobs/job_a/walks", json={}).json()
    assert again["id"] != made["id"]


def test_newer_input_takes_the_place_of_a_walk_that_runs(firm: Firm) -> None:
    """A large house runs; what is written meanwhile ends it and begins another."""
    demo = jobs.read(demos.text(demos.FIRST))
    events = firm.store.save(
        Job("job_a", demo.title, demo.units, demo.entities), at=NOW, writer="office_9", base=None
    )
    assert events
    lea = firm.phones["Lea"]
    first = firm.ask("Lea", "POST", "/api/jobs/job_a/walks", json={"draws": 4096}).json()
    path = "/api/jobs/job_a/walks"
    until = time.monotonic() + 120
    while firm.ask("Lea", "GET", f"{path}/{first['id']}").json()["state"] == "waiting":
        assert time.monotonic() < until
        time.sleep(0.05)
    firm.send("Lea", "job_a", lea.add("job_a", "note", kind="kept", name="Clock",
                                      place={"of": "nowhere"}))  # fmt: skip
    told = _events(firm.ask("Lea", "GET", f"{path}/{first['id']}/progress").text)[-1]
    assert told[0] == "superseded"
    second = told[1]["by"]
    assert second
    name, last = _events(firm.ask("Lea", "GET", f"{path}/{second}/progress").text)[-1]
    assert (name, last["through"]) == ("failed", firm.store.through("job_a"))
    assert firm.ask("Lea", "GET", f"{path}/{first['id']}/answer").status_code == 404


def test_newer_input_is_calculated_with_what_was_wanted_and_the_firms_rates(firm: Firm) -> None:
    firm.desk.walks._started = True  # so nothing is ever calculated
    ask = {"draws": 512, "ranges": True, "must": ["F7"], "most": 900.0}
    firm.ask("Lea", "POST", "/api/jobs/job_a/walks", json=ask)
    keep_rates(firm.store, FirmRates('{"hour": 85}', NOW, "Olga"))
    firm.send("Lea", "job_a", firm.phones["Lea"].title("job_a", "Another name"))
    running = firm.desk.walks.running("job_a")
    assert running is not None
    assert running.through == firm.store.through("job_a")
    assert (running.draws, running.ranges) == (512, True)
    assert running.wanted == (("F7",), (), 900.0)
    assert running.rates == '{"hour": 85}'


def test_asking_for_more_draws_than_allowed_or_of_no_job_is_refused(tmp_path: Path) -> None:
    with open_firm(tmp_path, limits=limited(draws=300)) as firm:
        path = "/api/jobs/job_a/walks"
        assert firm.ask("Lea", "POST", path, json={"draws": 301}).status_code == 413
        assert firm.ask("Lea", "POST", path, json={"draws": 10}).status_code == 422
        assert firm.ask("Lea", "POST", "/api/jobs/none/walks", json={}).status_code == 404


def test_a_stream_ends_when_the_server_stops(firm: Firm) -> None:
    firm.desk.walks._started = True  # so nothing is ever calculated
    made = firm.ask("Ann", "POST", "/api/jobs/job_a/walks", json={}).json()
    threading.Timer(0.5, firm.desk.stopping.set).start()
    got = firm.ask("Ann", "GET", f"/api/jobs/job_a/walks/{made['id']}/progress")
    assert [one for one, _ in _events(got.text)] == ["waiting", "stopping"]
    assert firm.client.get("/api/ready").status_code == 503


class FakePipe:
    """The pipe of a process that answers as it was told to."""

    def __init__(self, answers: list[Any]) -> None:
        self.answers = answers

    def send(self, value: object) -> None:
        pass

    def poll(self, _: float) -> bool:
        return bool(self.answers)

    def recv(self) -> Any:
        one = self.answers.pop(0)
        if isinstance(one, Exception):
            raise one
        return one


@pytest.mark.parametrize(
    ("answers", "state", "reason"),
    [([("share", 0.5), ("failed", "ValueError")], "failed", "the calculation failed (ValueError)"),
     ([EOFError()], "failed", "the process that calculated ended"),
     ([], "failed", "it took too long"),
     ([("share", 0.5), ("done", b"{}")], "done", "")],
)  # fmt: skip
def test_what_a_process_answers_is_told(answers: list[Any], state: str, reason: str) -> None:
    kept = Walks(1, 0.3)
    one = Walk("job", 1, 1, 256, ())
    one.state = "running"
    worker: Any = type("Fake", (), {"pipe": FakePipe(answers)})()
    kept._run(one, worker)
    assert (one.state, one.reason) == (state, reason)


def test_no_paper_is_kept_of_a_job_that_was_forgotten_while_it_was_made() -> None:
    kept, papers = Walks(1, 5.0), list[bytes]()

    class Forgetting(FakePipe):
        def recv(self) -> Any:
            kept.forget("job")
            return super().recv()

    one = Walk("job", 1, 1, 256, ())
    one.state, one.keep = "running", lambda made: papers.append(made) or made
    kept._walks[one.id] = one
    kept._run(one, type("Fake", (), {"pipe": Forgetting([("done", b"%PDF")])})())
    assert papers == []
    assert (one.state, one.answer, kept.find(one.id)) == ("superseded", b"", None)


def test_a_paper_whose_photos_cannot_be_fetched_fails_and_says_so() -> None:
    task = msgspec.msgpack.encode(["paper", b"", "quote", "en", "", "", "", {"ab": ""}, ""])
    row = {"id": "w", "kind": "paper", "job": "job", "account": "", "tries": 1, "task": task}
    ended = list[Ended]()

    class Rows:
        def take(self, *_: str) -> dict[str, Any]:
            return row

        def end(self, work_id: str, worker: str, one: Ended) -> bool:
            ended.append(one)
            return True

    def lost(_: str) -> Path:
        raise StoreError("no photo ab is held")

    works = Works.__new__(Works)  # without the database that it looks for
    works.queue, works._idle = Rows(), queue.SimpleQueue()
    works.store = SimpleNamespace(blobs=SimpleNamespace(file=lost))
    works.do("w", lambda: False)
    assert [(one.state, one.reason) for one in ended] == [("failed", "no photo ab is held")]


def test_only_so_many_walks_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Walks, "_serve", lambda self: None)
    monkeypatch.setattr(module, "_KEPT", 3)
    kept = Walks(1, 1.0)
    made = [
        kept.ask(f"job_{n}", through=1, job=Job(f"job_{n}"), seed=1, draws=256) for n in range(5)
    ]
    assert [kept.find(one.id) is not None for one in made] == [False, False, True, True, True]
    assert kept.running("job_0") is None
    papers = [kept.ask_paper("job_5", 1, ("paper",)) for _ in range(2)]
    assert [kept.find(one.id) is not None for one in (made[2], made[3], *papers)] == [
        False, False, True, True,
    ]  # fmt: skip
    newer = kept.ask("job_4", through=2, job=Job("job_4"), seed=1, draws=256)
    assert (made[4].state, made[4].by) == ("superseded", newer.id)
    kept.close()
    assert newer.state == "superseded"


def test_a_walk_tells_the_work_and_the_closing_by_the_jobs_own_terms(firm: Firm) -> None:
    _draw(firm)
    ann = firm.phones["Ann"]
    path = "/api/jobs/job_a/walks"

    def walked() -> dict[str, Any]:
        made = firm.ask("Ann", "POST", path, json={"draws": 256}).json()["id"]
        firm.ask("Ann", "GET", f"{path}/{made}/progress")
        answer: dict[str, Any] = firm.ask("Ann", "GET", f"{path}/{made}/answer").json()
        return answer

    told = walked()
    job = firm.store.job("job_a")
    found = walk_here(job, draws=256, closing=Terms(), priced=True,
                      start=first_day(job, date.today()))  # fmt: skip
    for name in ("work", "sealing", "all_clear", "estimate", "programme"):
        assert told[name] == json.loads(msgspec.json.encode(getattr(found, name))), name
    assert told["closing_waits"] == []
    firm.send("Ann", "job_a", ann.add("job_a", "t1", kind="closing_terms", given_up=["no such"]))
    told = walked()
    assert (told["sealing"], told["all_clear"]) == (None, None)
    assert "no such" in told["closing_waits"][0]
    assert told["openings"] is not None, "closing terms that cannot be met stop only the closing"

"""Events over HTTP: every line is accounted for, repeats change nothing, nobody is held up."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest
from firm import NOW, Firm, Phone, lines, open_firm

from wainscot.record import fold, line_of
from wainscot.store import take


def _sums(told: dict[str, Any]) -> bool:
    tally = told["tally"]
    lists = {name: len(told[name]) for name in ("added", "known", "refused", "barred")}
    return tally == {**lists, "sent": sum(lists.values())}


def test_what_is_sent_is_there_and_sending_again_changes_nothing(firm: Firm) -> None:
    ann = firm.phones["Ann"]
    sent = [ann.title("job_a", "Mill Cottage"), ann.add("job_a", "r1", kind="room", name="Hall")]
    told = firm.send("Ann", "job_a", *sent)
    assert told["added"] == [one.id for one in sent]
    assert _sums(told)
    head = firm.store.head()
    again = firm.send("Ann", "job_a", *sent)
    assert (again["added"], again["known"]) == ([], told["added"])
    assert firm.store.head() == head
    assert firm.store.job("job_a").title == "Mill Cottage"


def test_bad_lines_are_put_aside_and_hold_up_nobody(firm: Firm) -> None:
    ann = firm.phones["Ann"]
    good = ann.title("job_a", "Mill")
    altered = line_of(ann.title("job_a", "Barn")).replace(b"Barn", b"Born").decode()
    bad = ["", "{", "null", "\ud800", '{"schema": 9}', altered]
    body = {"lines": [*bad, line_of(good).decode()]}
    got = firm.ask("Ann", "POST", f"/api/jobs/{'job_a'}/events", content=json.dumps(body),
                   headers={"content-type": "application/json"})  # fmt: skip
    told = got.json()
    if got.status_code == 422:  # half a character is no JSON text at all
        body["lines"].remove("\ud800")
        told = firm.ask("Ann", "POST", "/api/jobs/job_a/events", json=body).json()
    assert told["added"] == [good.id]
    assert told["tally"]["refused"] == len(body["lines"]) - 1
    assert _sums(told)
    listed = firm.ask("Olga", "GET", "/api/put-aside").json()
    assert {one["digest"] for one in listed} == {one["digest"] for one in told["refused"]}
    assert any("newer" in one["reason"] for one in listed)


def test_an_event_of_another_job_or_device_is_barred_and_not_kept(firm: Firm) -> None:
    ann, ben = firm.phones["Ann"], firm.phones["Ben"]
    other_job, other_device = ann.title("job_b", "Mine"), ben.title("job_a", "His")
    good = ann.title("job_a", "Mill")
    told = firm.send("Ann", "job_a", other_job, good, other_device)
    assert [one["id"] for one in told["barred"]] == [other_job.id, other_device.id]
    assert told["added"] == [good.id]
    assert _sums(told)
    held = {one.id for one in firm.store.events("job_b")} | {
        one.id for one in firm.store.events("job_a")
    }
    assert good.id in held
    assert held.isdisjoint({other_job.id, other_device.id})
    assert firm.store.counts().quarantined == 0


def test_a_phone_that_was_revoked_may_go_on_as_a_new_device_of_its_owner(firm: Firm) -> None:
    """What it wrote under the old id is taken from the new one, so nothing is lost."""
    old = firm.phones["Ann"].title("job_a", "Written without signal")
    firm.accounts.revoke(firm.phones["Ann"].device, at=NOW)
    body = {"lines": [line_of(old).decode()]}
    assert firm.ask("Ann", "POST", "/api/jobs/job_a/events", json=body).status_code == 401
    _, firm.tokens["Ann"] = firm.accounts.add_device(firm.ids["Ann"], "new phone", at=NOW)
    assert firm.send("Ann", "job_a", old)["added"] == [old.id]


def test_the_office_takes_in_what_any_device_wrote(firm: Firm) -> None:
    ben = firm.phones["Ben"].title("job_a", "From a file")
    assert firm.send("Olga", "job_a", ben)["added"] == [ben.id]


def test_a_session_without_a_device_cannot_write(firm: Firm) -> None:
    firm.tokens["Ann"] = firm.accounts.open_session(firm.ids["Ann"], at=NOW)
    event = firm.phones["Ann"].title("job_a", "Mill")
    got = firm.ask(
        "Ann", "POST", "/api/jobs/job_a/events", json={"lines": [line_of(event).decode()]}
    )
    assert (got.status_code, got.json()["code"]) == (403, "no-device")


@pytest.mark.parametrize(
    ("told", "skew"), [("2025-03-14T09:59:30+00:00", 30.0), ("", None), ("half past nine", None)]
)
def test_by_how_much_the_senders_clock_is_off_is_kept(
    firm: Firm, told: str, skew: float | None
) -> None:
    event = firm.phones["Ann"].title("job_a", "Mill")
    firm.send("Ann", "job_a", event, now=told)
    kept = {one.id: one.skew for one in firm.store.receipts()}
    assert kept[event.id] == skew


def _fetched(firm: Firm, name: str, path: str, most: int) -> list[str]:
    found: list[str] = []
    after, record, more = 0, "", True
    while more:
        page = firm.ask(name, "GET", path, params={"after": after, "record": record, "most": most})
        told = page.json()
        assert len(told["lines"]) <= most
        found += told["lines"]
        after, record, more = told["through"], told["record"], told["more"]
    return found


def test_events_are_fetched_page_by_page_and_each_once(firm: Firm) -> None:
    office = Phone("office_3")
    firm.append(*(office.title("job_a", f"name {n}") for n in range(23)))
    mine = _fetched(firm, "Ann", "/api/jobs/job_a/events", 7)
    assert sorted(mine) == sorted(one.decode() for one in firm.store.lines("job_a"))
    early = firm.ask("Ann", "GET", "/api/jobs/job_a/events?until=20").json()
    assert (early["through"], early["more"]) == (20, False)
    assert 0 < len(early["lines"]) < len(mine)
    assert early["lines"] == mine[: len(early["lines"])]
    everything = _fetched(firm, "Lea", "/api/events", 10)
    assert sorted(everything) == sorted(one.decode() for one in firm.store.lines())


def test_after_a_restore_a_phone_is_given_everything_anew(firm: Firm) -> None:
    """Numbers of receipt count anew in a restored record, so an old number means nothing there."""
    params = {"after": 10**6, "record": "office_before"}
    page = firm.ask("Ann", "GET", "/api/jobs/job_a/events", params=params).json()
    assert len(page["lines"]) == len(firm.store.lines("job_a"))
    same = {"after": page["through"], "record": page["record"]}
    assert firm.ask("Ann", "GET", "/api/jobs/job_a/events", params=same).json()["lines"] == []


def test_two_phones_on_a_bad_line_end_with_one_job(firm: Firm) -> None:
    """Batches dropped, repeated and out of order; both answers lost now and then."""
    office = Phone("office_3")
    firm.append(office.add("job_a", "crew_2", kind="crew", who=firm.ids["Ben"]))
    source = random.Random(7)
    written = {
        name: [firm.phones[name].add("job_a", f"{name}_{n}", kind="room", name=f"{name} {n}")
               for n in range(30)]
        for name in ("Ann", "Ben")
    }  # fmt: skip
    for name, events in written.items():
        left = set(range(len(events)))
        while left:
            batch = [source.randrange(len(events)) for _ in range(5)]
            told = firm.send(name, "job_a", *(events[n] for n in batch))
            assert _sums(told)
            if source.random() < 0.7:  # else the answer was lost, and the phone sends again
                held = {*told["added"], *told["known"]}
                left -= {n for n in left if events[n].id in held}
    got = [_fetched(firm, name, "/api/jobs/job_a/events", 50) for name in ("Ann", "Ben")]
    assert got[0] == got[1]
    assert fold(firm.store.events("job_a"), "job_a") == firm.store.job("job_a")
    assert {f"Ann_{n}" for n in range(30)} <= firm.store.job("job_a").entities.keys()


def test_only_what_a_verified_backup_holds_may_go_from_a_phone(firm: Firm) -> None:
    ann = firm.phones["Ann"]
    first, second, unsent = (ann.title("job_a", text) for text in ("one", "two", "three"))
    firm.send("Ann", "job_a", first)

    def asked() -> dict[str, Any]:
        ids = [first.id, second.id, unsent.id]
        told: dict[str, Any] = firm.ask("Ann", "POST", "/api/jobs/job_a/held",
                                        json={"events": ids}).json()  # fmt: skip
        return told

    told = asked()
    assert (told["events"], told["events_backed_up"]) == ([first.id], [])
    assert told["backup"]["taken"] == ""
    assert firm.ask("Lea", "POST", "/api/backup").json()["events_after"] == 0
    firm.send("Ann", "job_a", second)
    told = asked()
    assert told["events"] == [first.id, second.id]
    assert told["events_backed_up"] == [first.id]
    assert (told["backup"]["taken"], told["backup"]["events_after"]) == (firm.desk.now(), 1)
    for path in firm.store.layout.backups.glob("*.zip"):
        path.write_bytes(path.read_bytes()[:-50])
    told = asked()
    assert (told["events_backed_up"], told["backup"]["taken"]) == ([], "")


def test_a_backup_that_another_program_took_is_seen(firm: Firm) -> None:
    event = firm.phones["Ann"].title("job_a", "one")
    firm.send("Ann", "job_a", event)
    asked = {"events": [event.id]}
    path = "/api/jobs/job_a/held"
    assert firm.ask("Ann", "POST", path, json=asked).json()["events_backed_up"] == []
    store = firm.store
    take(store.database, store.blobs, store.disk, store.layout.folder.parent / "stick", now=NOW)
    assert firm.ask("Ann", "POST", path, json=asked).json()["events_backed_up"] == [event.id]


def test_a_second_backup_waits_for_the_first(firm: Firm) -> None:
    with firm.desk.backing_up():
        got = firm.ask("Lea", "POST", "/api/backup")
    assert (got.status_code, got.headers["retry-after"]) == (429, "30")
    assert firm.ask("Lea", "POST", "/api/backup").status_code == 201


def test_too_many_events_at_once_are_refused_whole(firm: Firm) -> None:
    got = firm.ask("Ann", "POST", "/api/jobs/job_a/events", json={"lines": ["{}"] * 501})
    assert (got.status_code, got.json()["code"]) == (422, "bad-request")
    got = firm.ask("Ann", "POST", "/api/jobs/job_a/events", json={"lines": ["x" * (5 << 20)]})
    assert (got.status_code, got.json()["code"]) == (413, "too-large")
    assert firm.store.counts().quarantined == 0


def test_everything_goes_out_as_one_file_and_comes_back(firm: Firm, tmp_path: Any) -> None:
    firm.send("Ann", "job_a", firm.phones["Ann"].title("job_a", "Mill"))
    photo = firm.store.blobs.put(b"bytes of a photo", received=NOW)
    packed = firm.ask("Olga", "GET", "/api/everything").content
    (tmp_path / "other").mkdir()
    with open_firm(tmp_path / "other", login=False) as other:
        got = other.client.post("/api/everything", content=packed).json()
        assert got == {"added": firm.store.counts().events, "known": 0, "refused": 0, "photos": 1}
        assert other.store.head() == firm.store.head()
        assert b"".join(other.store.blobs.read(photo)) == b"bytes of a photo"
        assert other.client.post("/api/everything", content=packed).json()["added"] == 0
        assert other.client.post("/api/everything", content=packed[:-9]).status_code == 409
        left = [one.name for one in other.store.layout.folder.iterdir() if one.name[0] == "."]
        assert left == []
    assert not list(firm.store.layout.folder.glob(".sending-*"))


def test_the_list_of_jobs_and_a_job_file(firm: Firm) -> None:
    listed = firm.ask("Olga", "GET", "/api/jobs").json()["jobs"]
    assert [(one["id"], one["title"], one["mine"]) for one in listed] == [
        ("job_a", "Mill", False), ("job_b", "Barn", False)]  # fmt: skip
    assert firm.ask("Ann", "GET", "/api/jobs").json()["jobs"][0]["mine"]
    assert firm.ask("Ann", "GET", "/api/jobs/job_a").json()["title"] == "Mill"
    counts = firm.ask("Olga", "GET", "/api/status").json()
    assert (counts["events"], counts["jobs"]) == (len(lines(*firm.store.events("job_a"))) + 1, 2)


def test_what_cannot_be_read_back_is_not_acknowledged(
    firm: Firm, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(firm.store, "wanted", lambda ids: tuple(ids))
    body = {"lines": [line_of(firm.phones["Ann"].title("job_a", "Mill")).decode()]}
    got = firm.ask("Ann", "POST", "/api/jobs/job_a/events", json=body)
    assert (got.status_code, got.json()["code"]) == (500, "server-error")

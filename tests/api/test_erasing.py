"""The office forgets a person over HTTP; devices tell the key that they sign with."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import msgspec
import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from firm import NOW, Firm, open_firm

from wainscot.job import Job
from wainscot.record import Beside, Event, diff, event, sent_of, signed_text
from wainscot.store import take

PERSON = "Quilla Canary"


@pytest.fixture
def firm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firm]:
    with open_firm(tmp_path_factory.mktemp("firm")) as made:
        yield made


def _said(firm: Firm, name: str) -> tuple[Event, ...]:
    job = Job("job_a", entities={"s": {"kind": "seal", "closes": "e", "by": PERSON}})
    return diff(Job("job_a"), job, device=firm.phones[name].device, seq=1, prev="", at=NOW)


def _send(firm: Firm, name: str, *events: Event) -> Any:
    body = {"lines": [sent_of(one).decode() for one in events]}
    return firm.ask(name, "POST", "/api/jobs/job_a/events", json=body).json()


def _signed(one: Event, key: Ed25519PrivateKey) -> Event:
    beside = Beside(key.public_key().public_bytes_raw().hex(),
                    key.sign(signed_text(one.id)).hex(), one.beside.opened)  # fmt: skip
    return msgspec.structs.replace(one, beside=beside)


def test_what_stands_beside_an_event_goes_through_sync(firm: Firm) -> None:
    [one] = (_signed(each, Ed25519PrivateKey.generate()) for each in _said(firm, "Ann"))
    assert _send(firm, "Ann", one)["added"] == [one.id]
    assert firm.store.job("job_a").entities["s"]["by"] == PERSON
    page = firm.ask("Ann", "GET", "/api/jobs/job_a/events").json()
    assert sent_of(one).decode() in page["lines"]


def test_the_office_erases_and_types_the_name_again(firm: Firm) -> None:
    _send(firm, "Ann", *_said(firm, "Ann"))

    def ask(name: str, **more: Any) -> Any:
        return firm.ask(name, "POST", "/api/jobs/job_a/erase", json={"person": PERSON, **more})

    assert ask("Ann", typed=PERSON).status_code == 403
    assert ask("Lea", typed=PERSON).status_code == 403
    told = ask("Olga").json()
    assert (told["erased"], told["texts"], told["places"]) == (False, 1, ["s.by"])
    assert ask("Olga", typed="Anna").status_code == 422
    assert firm.store.job("job_a").entities["s"]["by"] == PERSON
    told = ask("Olga", typed=PERSON).json()
    assert (told["erased"], told["texts"], told["backups_before"], told["days"]) == (True, 1, 0, 30)
    assert firm.store.job("job_a").entities["s"]["by"] == "(erased)"
    assert PERSON not in firm.said.getvalue()
    assert firm.desk.roster.of("job_a").title == "Mill"
    page = firm.ask("Ann", "GET", "/api/jobs/job_a/events").text
    assert PERSON not in page
    assert '\\"texts\\":[' in page  # so that phones forget as well


def test_what_cannot_go_is_named_and_when_backups_from_before_go(firm: Firm) -> None:
    phone = firm.phones["Ann"]
    old = phone.add("job_a", "old", kind="seal", by=PERSON)  # a text in what is hashed
    firm.append(old)
    _send(firm, "Lea", *_said(firm, "Lea"))
    kept = take(firm.store.database, firm.store.blobs, firm.store.disk,
                firm.store.layout.backups, now=firm.desk.now())  # fmt: skip
    far = take(firm.store.database, firm.store.blobs, firm.store.disk,
               firm.store.layout.backups.parent / "elsewhere", now=firm.desk.now())  # fmt: skip
    far.path.unlink()
    firm.time += timedelta(minutes=1)
    told = firm.ask("Olga", "POST", "/api/jobs/job_a/erase",
                    json={"person": PERSON, "typed": PERSON}).json()  # fmt: skip
    assert (told["erased"], told["texts"], told["places"]) == (True, 1, ["s.by"])
    [left] = told["left"]
    assert (left["device"], left["seq"], left["entity"]) == (phone.device, old.seq, "old")
    assert kept.path.is_file()
    assert (told["backups_before"], told["unreached"]) == (2, [far.path.name])
    # docs/erase.md: they stay for 30 days.
    ends = (firm.time + timedelta(days=30)).date()
    assert date.fromisoformat(told["backups_go"]) == ends


def test_crew_erases_nothing_by_an_event(firm: Firm) -> None:
    phone = firm.phones["Ann"].device
    gone = event("add", job="job_a", device=phone, seq=1, prev="", at=NOW, entity="x",
                 value={"kind": "erased", "texts": ["ab" * 32]})  # fmt: skip
    [barred] = _send(firm, "Ann", gone)["barred"]
    assert barred["reason"] == "only the office erases"


def test_a_device_signs_with_the_key_that_it_told(firm: Firm) -> None:
    mine, other = Ed25519PrivateKey.generate(), Ed25519PrivateKey.generate()
    key = mine.public_key().public_bytes_raw().hex()
    assert firm.ask("Ann", "PUT", "/api/device-key", json={"key": key}).json()["key"] == key
    [one] = _said(firm, "Ann")
    assert "not this device's" in _send(firm, "Ann", _signed(one, other))["barred"][0]["reason"]
    forged = _signed(one, mine)
    forged = msgspec.structs.replace(forged, beside=msgspec.structs.replace(
        forged.beside, signature=other.sign(signed_text(one.id)).hex()))  # fmt: skip
    assert "signature" in _send(firm, "Ann", forged)["refused"][0]["reason"]
    assert _send(firm, "Ann", _signed(one, mine))["added"] == [one.id]


def test_an_erasure_that_arrives_by_sync_ends_what_was_calculated_before(firm: Firm) -> None:
    [said] = _said(firm, "Ann")
    _send(firm, "Ann", said)
    firm.desk.walks._started = True  # so nothing is ever calculated
    made = firm.ask("Ann", "POST", "/api/jobs/job_a/walks", json={}).json()["id"]
    walk = firm.desk.walks.find(made)
    assert walk is not None
    walk.state, walk.answer = "done", PERSON.encode()
    gone = firm.phones["Olga"].add("job_a", "x", kind="erased", texts=[*said.beside.opened], at=NOW)
    assert _send(firm, "Olga", gone)["added"] == [gone.id]
    assert firm.desk.walks.find(made) is None
    assert walk.answer == b""

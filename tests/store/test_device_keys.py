"""Devices sign what they write: what verify says of signatures, keys and personal texts."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from devices import LATER, NOW, Device, lines

from wainscot.job import Job
from wainscot.record import Beside, Event, parted, sent_of, signed_text
from wainscot.store import (
    DamagedError,
    DeviceKey,
    Store,
    StoreError,
    alone,
    check_file,
    check_store,
    export_everything,
    import_everything,
    keys_in,
    set_key,
    take,
)
from wainscot.store.vouched import signatures

KEY, OTHER = (Ed25519PrivateKey.from_private_bytes(bytes([n]) * 32) for n in (1, 2))


def _open(key: Ed25519PrivateKey) -> str:
    return key.public_key().public_bytes_raw().hex()


def _signed(one: Event, key: Ed25519PrivateKey = KEY) -> Event:
    signature = key.sign(signed_text(one.id)).hex()
    return msgspec.structs.replace(one, beside=Beside(_open(key), signature, one.beside.opened))


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Store]:
    made = Store.create(tmp_path / "record", device="office")
    yield made
    made.close()


def _told(store: Store, state: str) -> list[str]:
    return [one.told for one in check_store(store)
            if one.what in ("signature", "event", "text") and one.state == state]  # fmt: skip


def test_the_record_signs_what_it_writes_itself(record: Store) -> None:
    record.save(Job("job_a", title="Mill"), at=NOW, writer="w")
    key = record.layout.device_key
    assert key.stat().st_mode & 0o777 == 0o600
    [one] = record.events("job_a")
    with record.database.reading() as connection:
        assert keys_in(connection) == (DeviceKey("office", one.beside.key, NOW),)
    assert _told(record, "bad") == []
    key.write_text("no key")
    with pytest.raises(DamagedError, match="move it away"):
        record.save(Job("job_a", title="Barn"), at=LATER, writer="w")


def test_without_what_signs_the_record_writes_unsigned(
    record: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    [one, two] = (Device(name).title("Mill") for name in ("van", "shed"))
    for name in ("cryptography", "cryptography.exceptions"):
        monkeypatch.setitem(__import__("sys").modules, name, None)
    record.save(Job("job_b", title="Barn"), at=NOW, writer="w")
    assert record.events("job_b")[0].beside.key == ""
    forged = msgspec.structs.replace(_signed(two).beside, key=_open(OTHER))
    sent = [sent_of(_signed(one)), sent_of(msgspec.structs.replace(two, beside=forged))]
    told = record.append(sent, received=NOW)
    assert (len(told.added), len(told.refused)) == (1, 1)  # the verifier that stands alone looks


def test_a_signature_that_does_not_fit_is_put_aside_with_a_reason(record: Store) -> None:
    one = Device("van").title("Mill")
    wrong = [
        Beside(_open(KEY), OTHER.sign(signed_text(one.id)).hex()),
        Beside(_open(KEY), KEY.sign(one.id.encode()).hex()),
        Beside("ab" * 31, "cd" * 64),
        Beside("ff" * 32, "cd" * 64),
    ]
    sent = [sent_of(msgspec.structs.replace(one, beside=each)) for each in wrong]
    told = record.append(sent, received=NOW)
    assert [each.reason.split(":")[1][:25] for each in told.refused] == [
        " its signature is not tha"] * 4  # fmt: skip
    assert record.append(lines(one), received=NOW).added == (one.id,)  # unsigned, it is let in
    record.append([sent_of(_signed(one))], received=LATER)  # and signed when it comes again
    record.append([sent_of(_signed(one, OTHER))], received=LATER)
    assert record.events("job_a")[0].beside.key == _open(KEY)


def test_verify_tells_signatures_that_were_taken_away_and_keys_that_changed(record: Store) -> None:
    van = Device("van")
    first, second, third = van.title("a"), van.title("b"), van.title("c")
    record.append([*lines(first), sent_of(_signed(second)), sent_of(_signed(third))], received=NOW)
    assert _told(record, "bad") == []
    assert any("1 of 3 events are not signed" in one for one in _told(record, "note"))
    assert any("nobody told here" in one for one in _told(record, "note"))
    with record.database.writing() as connection:
        set_key(connection, "van", _open(OTHER), at=NOW)
    assert sum("a key not told for it" in one for one in _told(record, "bad")) == 2
    with record.database.writing() as connection:
        set_key(connection, "van", _open(KEY), at=LATER)
        set_key(connection, "van", _open(KEY), at=LATER)
    assert _told(record, "bad") == []
    assert any(f"ended {LATER}" in one for one in _told(record, "note"))
    both = [_signed(first), _signed(second, OTHER)]
    assert any("its key changed" in one.told for one in signatures(both, ()))
    with record.database.writing() as connection:
        with pytest.raises(StoreError, match="64 figures"):
            set_key(connection, "van", "no key", at=NOW)
        connection.exec_driver_sql("UPDATE event SET beside = NULL WHERE seq = 3")
    assert any("number 3 is not signed, and number 2 is" in one for one in _told(record, "bad"))


@pytest.mark.parametrize("what", ["text", "signature", "rubbish"])
def test_what_was_changed_beside_an_event_is_found_everywhere(
    record: Store, tmp_path: Path, what: str, capsys: pytest.CaptureFixture[str]
) -> None:
    record.save(Job("job_a", title="Mill of Ana"), at=NOW, writer="w")
    file = tmp_path / "events.jsonl"
    file.write_bytes(b"".join(one + b"\n" for one in record.lines()))
    assert not [one for one in check_file(file) if one.state == "bad"]
    beside = parted(record.lines()[0])[1]
    content = json.loads(beside)
    if what == "text":
        beside = beside.replace(b"Ana", b"Bea")
    elif what == "signature":
        beside = beside.replace(content["signature"][:8].encode(), b"00000000")
    else:
        beside = b"{}"[:1]
    with record.database.writing() as connection:
        connection.exec_driver_sql("UPDATE event SET beside = ?", (beside,))
    assert [one for one in check_store(record) if one.state == "bad" and one.what == "event"]
    with pytest.raises(DamagedError, match="not the one that was written"):
        take(record.database, record.blobs, record.disk, record.layout.backups, now=NOW)
    if what != "rubbish":
        export_everything(record, tmp_path / "all.zip", now=NOW)
        assert alone.main([str(tmp_path / "all.zip")]) == 1
        assert "BAD" in capsys.readouterr().out


def test_a_text_that_is_missing_without_a_word_is_told(record: Store) -> None:
    record.save(Job("job_a", title="Mill of Ana"), at=NOW, writer="w")
    with record.database.writing() as connection:
        connection.exec_driver_sql("UPDATE event SET beside = NULL")
    assert any("no event says" in one for one in _told(record, "note"))


def test_keys_go_along_with_everything(record: Store, tmp_path: Path) -> None:
    record.save(Job("job_a", title="Mill"), at=NOW, writer="w")
    export_everything(record, tmp_path / "all.zip", now=NOW)
    other = Store.create(tmp_path / "other", device="office-2")
    for _ in range(2):
        import_everything(other, tmp_path / "all.zip", received=LATER)
    for store in (record, other):
        with store.database.reading() as connection:
            assert [one.device for one in keys_in(connection)] == ["office"]
    assert other.lines() == record.lines()
    assert _told(other, "bad") == []
    other.close()

"""What stands in the files that a record gives out, and what is said of them, member by member."""

from __future__ import annotations

import base64
import hashlib
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from devices import LATER, NOW, Device, lines

from wainscot.job import Job
from wainscot.record import Event
from wainscot.store import (
    DamagedError,
    Disk,
    Journal,
    MadePaper,
    Store,
    check_file,
    doctor,
    erase,
    export_everything,
    give_head,
    import_everything,
    keep_paper,
    look,
    take,
    take_and_rotate,
)
from wainscot.store.archive import Archive, Manifest, Member, write_archive
from wainscot.store.rotation import rotate


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.create(tmp_path / "record", device="office")
    yield made
    made.close()


@pytest.fixture
def filled(store: Store) -> tuple[Store, list[Event], str]:
    """Two events of a phone, one of a van, a photo, a line put aside, a head."""
    phone = Device("phone")
    made = [phone.title("a"), phone.title("b"), Device("van", "job_b").title("c")]
    store.append(lines(*made[:2]), received=NOW, skew=0.5)
    store.append([*lines(made[2]), b"rubbish"], received=LATER)
    photo = store.blobs.put(b"photo", received=NOW)
    give_head(store, now=LATER)
    return store, made, photo


def set_name(*names: str) -> str:
    return hashlib.sha256("".join(f"{one}\n" for one in sorted(names)).encode()).hexdigest()


def bad(path: Path) -> list[tuple[str, str]]:
    return [(one.what, one.told) for one in check_file(path) if one.state == "bad"]


def repacked(path: Path, new: Path, changed: dict[str, bytes]) -> Path:
    """Pack an archive anew with other members, its list right for them."""
    with zipfile.ZipFile(path) as packed:
        held = {name: packed.read(name) for name in packed.namelist()[:-1]}
    old = Archive(path).manifest
    parts = [(name, [one]) for name, one in {**held, **changed}.items()]

    def manifest(members: dict[str, Member]) -> Manifest:
        return msgspec.structs.replace(old, members=members)

    write_archive(new, parts, manifest, Disk(), lambda _: None)
    return new


def test_a_head_is_the_root_of_the_tree_and_signed_by_its_key(store: Store) -> None:
    one = Device("phone").title("a")
    store.append(lines(one), received=NOW, skew=0.5)
    head = give_head(store, now=LATER)
    # RFC 9162, 2.1.1: the tree of one leaf is SHA-256 of a nought and the leaf.
    leaf = json.dumps({"id": one.id, "received": NOW, "skew": 0.5}, separators=(",", ":")).encode()
    assert head.root == hashlib.sha256(b"\0" + leaf).hexdigest()
    assert (head.size, head.time) == (1, LATER)
    text = f"wainscot head 1\n1\n{head.root}\n{LATER}\n{head.key}\n".encode()
    key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(head.key))
    key.verify(bytes.fromhex(head.signature), text)  # raises where it is not so
    assert give_head(store, now="2025-03-14T12:00:00+00:00") == head
    store.append(lines(Device("van").title("b")), received=LATER)
    assert give_head(store, now="2025-03-14T12:00:00+00:00").size == 2


def test_a_backup_lists_what_it_holds(filled: tuple[Store, list[Event], str]) -> None:
    store, made, photo = filled
    taken = take(store.database, store.blobs, store.disk, store.layout.backups, now=LATER)
    assert (taken.events, taken.blobs, taken.events_through, taken.blobs_through) == (3, 1, 3, 1)
    assert (taken.taken, taken.path.name) == (LATER, "wainscot-20250314T110000Z-1.zip")
    assert taken.digest == hashlib.sha256(taken.path.read_bytes()).hexdigest()
    told = Archive(taken.path).manifest
    assert (told.form, told.kind, told.taken) == (1, "backup", LATER)
    assert told.head == set_name(*(one.id for one in made))
    assert told.blob_head == set_name(photo)
    assert list(told.members) == ["record.sqlite", f"blobs/{photo}"]
    assert (told.members[f"blobs/{photo}"].size, told.members[f"blobs/{photo}"].sha256) == (
        5, photo)  # fmt: skip
    counts = {name: told.tables[name] for name in ("event", "blob", "head", "quarantine")}
    assert counts == {"event": 3, "blob": 1, "head": 1, "quarantine": 1}
    again = take(store.database, store.blobs, store.disk, store.layout.backups, now=LATER)
    assert again.path.name == "wainscot-20250314T110000Z-2.zip"


def test_everything_is_lines_of_json_and_photos(
    filled: tuple[Store, list[Event], str], tmp_path: Path
) -> None:
    store, made, photo = filled
    path = tmp_path / "all.zip"
    assert (
        export_everything(store, path, now=LATER) == hashlib.sha256(path.read_bytes()).hexdigest()
    )
    told = Archive(path).manifest
    assert (told.form, told.kind, told.taken, told.events, told.blobs) == (
        1, "everything", LATER, 3, 1)  # fmt: skip
    assert (told.head, told.blob_head) == (set_name(*(one.id for one in made)), set_name(photo))
    assert list(told.members) == [
        "events.jsonl", "receipts.jsonl", "heads.jsonl", "keys.jsonl", "verify.py",
        "quarantine.jsonl", f"blobs/{photo}",
    ]  # fmt: skip
    with zipfile.ZipFile(path) as packed:
        held = {name: packed.read(name) for name in told.members}
    assert held["events.jsonl"] == b"".join(one + b"\n" for one in store.lines())
    receipts = [json.loads(one) for one in held["receipts.jsonl"].splitlines()]
    assert receipts == [
        {"id": made[0].id, "received": NOW, "skew": 0.5},
        {"id": made[1].id, "received": NOW, "skew": 0.5},
        {"id": made[2].id, "received": LATER, "skew": None},
    ]
    (aside,) = [json.loads(one) for one in held["quarantine.jsonl"].splitlines()]
    assert base64.b64decode(aside["raw"]) == b"rubbish"
    assert aside["reason"] == store.quarantined()[0].reason
    assert [json.loads(one)["size"] for one in held["heads.jsonl"].splitlines()] == [3]
    assert held["keys.jsonl"] == b""
    other = Store.create(tmp_path / "other", device="other")
    brought = import_everything(other, path, received=LATER)
    assert brought.receipt.added == tuple(one.id for one in made)
    assert (brought.receipt.known, brought.blobs) == ((), 1)
    assert [one.raw for one in other.quarantined()] == [b"rubbish"]
    assert (other.receipts(), other.lines()) == (store.receipts(), store.lines())
    assert other.blobs.rows() == [(photo, 5)]
    other.close()


def test_a_file_is_looked_at_part_by_part(
    filled: tuple[Store, list[Event], str], tmp_path: Path
) -> None:
    store, made, photo = filled
    path = tmp_path / "all.zip"
    export_everything(store, path, now=LATER)
    found = [(one.what, one.state, one.told) for one in check_file(path)]
    for wanted in (
        ("chain", "good", "2 devices; each event names the one before"),
        ("head", "good", "1 kept; each holds and is signed"), ("photo", "good", "1 read"),
    ):  # fmt: skip
        assert wanted in found
    assert not bad(path)
    assert [one.split(":")[0] for what, _, one in found if what == "cannot show"] == [
        "no head from outside was given",
        "whether events 1 to 3, which came after the last head from outside, were changed, or "
        "others after them cut off",
        "who signed",
        "whether this machine's clock was right, and what never was sent here",
    ]
    wrong = repacked(path, tmp_path / "photo.zip", {f"blobs/{photo}": b"other"})
    assert bad(wrong) == [("photo", f"photo {photo[:12]} was altered")]
    fewer = repacked(path, tmp_path / "fewer.zip", {"events.jsonl": store.lines()[0] + b"\n"})
    agree = [("order", "events and the list of their arrival do not agree")]
    assert bad(fewer) == agree
    twice = b"".join(one + b"\n" for one in [*store.lines()[:2], store.lines()[0]])
    assert bad(repacked(path, tmp_path / "twice.zip", {"events.jsonl": twice})) == agree
    with pytest.raises(DamagedError, match="is a backup; restore it"):
        check_file(take(store.database, store.blobs, store.disk, tmp_path / "b", now=NOW).path)
    assert len(made) == 3


def test_bare_lines_are_looked_at_without_heads(
    filled: tuple[Store, list[Event], str], tmp_path: Path
) -> None:
    store, *_ = filled
    path = tmp_path / "events.jsonl"
    path.write_bytes(b"\n" + b"\n \n".join(store.lines()) + b"\n")
    found = check_file(path)
    assert [one.what for one in found if one.state == "bad"] == []
    assert ("chain", "2 devices; each event names the one before") in [
        (one.what, one.told) for one in found
    ]
    assert (found[-1].what, found[-1].state) == ("cannot show", "note")
    assert found[-1].told.startswith("the file does not say when events arrived")
    assert not {"head", "photo", "order"} & {one.what for one in found}
    path.write_bytes(b"\n".join([*store.lines(), b"rubbish"]))
    assert [one.what for one in check_file(path) if one.state == "bad"] == ["event"]


def test_what_is_well_has_no_cure_and_what_is_not_has_one(store: Store, tmp_path: Path) -> None:
    phone = Device("phone")
    first, _, third = (phone.title(text) for text in "abc")
    store.append(lines(first), received=NOW)
    take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
    (backup, _) = [one for one in doctor(store, now=NOW) if one.what == "backup"]
    assert (backup.state, backup.cure) == ("good", "")
    store.append([*lines(third, Device("phone").title("d")), b"rubbish"], received=NOW, skew=999.0)
    store.blobs.path(store.blobs.put(b"photo", received=NOW)).unlink()
    found = [one for one in doctor(store, now=NOW, scrub=True) if one.what != "file system"]
    assert {one.what for one in found if one.state == "note"} == {
        "clock", "chain", "put aside", "backup"}  # fmt: skip
    assert {one.what for one in found if one.state == "bad"} <= {"photo", "space"}
    assert all(bool(one.cure) == (one.state != "good") for one in found)
    (again, _) = [one for one in found if one.what == "backup"]
    assert again.cure == "take one: wainscot backup"
    journal, sound = store.database.findings()
    mode, level = store.database.settings()
    version = store.database.library.sqlite_version
    words = f"SQLite {version} keeps a journal of kind {mode}, synchronous {level}"
    assert (journal.what, journal.state, journal.told) == ("journal", "good", words)
    assert (sound.what, sound.state, sound.told) == ("file", "good", "SQLite finds the file sound")
    other = Store.create(tmp_path / "other", device="o", journal=Journal("delete", 2))
    assert [(one.what, one.state, bool(one.cure)) for one in other.database.findings()] == [
        ("journal", "bad", True), ("file", "good", False)]  # fmt: skip
    other.close()


def test_what_is_found_of_a_person_and_the_word_that_erases_it(store: Store) -> None:
    photo, paper, pages = (store.blobs.put(one, received=NOW) for one in (b"x", b"pdf", b"svg"))
    job = Job("job_m", title="Ana", entities={
        "s": {"kind": "seal", "photo": photo, "by": "Ana"}, "r": {"kind": "room", "name": "Hall"},
    })  # fmt: skip
    store.save(job, at=NOW, writer="w")
    plain = Device("phone", "job_m").room("t", "Room of ANA")
    store.append([*lines(plain), b"by Ana", b'{"job": "other", "by": "Ana"}'], received=NOW)
    keep_paper(store, MadePaper("job_m", paper, "quote", "en", "A4", "Quote", pages, 1, "v", NOW))
    found = look(store, "job_m", ["ana"])
    assert found.job == "job_m"
    assert found.places == (("", "title"), ("s", "by"))
    assert len(found.texts) == 2
    assert (found.photos, found.papers) == ((photo,), tuple(sorted((paper, pages))))
    assert found.aside == (hashlib.sha256(b"by Ana").hexdigest(),)
    (left,) = found.left
    assert (left.id, left.device, left.seq, left.entity, left.field) == (
        plain.id, "phone", 1, "t", "")  # fmt: skip
    erase(store, found, now=LATER, by="Olga")
    (word,) = [one for one in store.job("job_m").entities.values() if one["kind"] == "erased"]
    assert (word["texts"], word["at"], word["by"]) == (list(found.texts), LATER, "Olga")
    assert sorted(word["photos"]) == sorted((photo, paper, pages))
    assert [store.blobs.has(one) for one in (photo, paper, pages)] == [False] * 3
    assert store.job("job_m").entities["r"]["name"] == "Hall"
    assert len(store.quarantined()) == 1
    last = store.events("job_m")[-2]  # by device: the phone's one event stands behind it
    assert (last.device, last.at) == ("office", LATER)
    # Texts alone: the word names no photo and nobody.
    store.save(Job("job_n", title="Ana"), at=NOW, writer="w")
    erase(store, look(store, "job_n", ["Ana"]), now=LATER)
    (short,) = store.job("job_n").entities.values()
    assert set(short) == {"kind", "texts", "at"}


def test_a_backup_of_the_same_second_as_an_erasure_counts_as_from_before(store: Store) -> None:
    store.save(Job("job_m", title="Ana"), at=NOW, writer="w")
    folder = store.layout.backups
    same, _ = take_and_rotate(store, folder, now=LATER)
    erase(store, look(store, "job_m", ["Ana"]), now=LATER)
    newest, rotated = take_and_rotate(store, folder, now=LATER)
    assert (rotated.removed, rotated.staying, rotated.unreached) == ((), (same.path,), ())
    gone = rotate(store, newest, now=LATER, at_once=True)
    assert (gone.removed, gone.staying, gone.unreached) == ((same.path,), (), ())
    assert [one.name for one in folder.glob("*.zip")] == [newest.path.name]
    # A backup that was taken away by hand is out of reach, one that came later stays for good.
    newest.path.unlink()
    later, rotated = take_and_rotate(store, folder, now="2025-05-14T11:00:00+00:00")
    assert (rotated.removed, rotated.staying, rotated.unreached) == ((), (), (newest.path,))
    last, rotated = take_and_rotate(store, folder, now="2025-06-14T11:00:00+00:00")
    assert (rotated.removed, rotated.staying, rotated.unreached) == ((), (), (newest.path,))
    assert later.path.is_file()
    assert last.path.is_file()

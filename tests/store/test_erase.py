"""A person is forgotten: no byte of fifty canaries is left, and the chain still verifies."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import msgspec
import pytest
from click.testing import CliRunner
from devices import LATER, NOW, Device, lines

from wainscot.cli import main
from wainscot.job import KINDS, PERSONAL, Job
from wainscot.record import erases, fold, sent_of
from wainscot.store import (
    MadePaper,
    Store,
    StoreError,
    alone,
    check_store,
    erase,
    export_everything,
    give_head,
    import_everything,
    keep_paper,
    look,
    papers_of,
    status,
    take,
    take_and_rotate,
)
from wainscot.store import store as module
from wainscot.store.tables import folded

PERSON = "Quilla Çanary"
AFTER = "2025-03-14T11:00:01+00:00"
MONTH_LATER = "2025-04-14T11:00:00+00:00"


def _told(number: int, field: str) -> str:
    return f"M{700000 + number} 1L2 2" if field == "signature" else f"{PERSON} c4nary{number:03}x"


def _needles(count: int) -> list[bytes]:
    return [text for n in range(count)
            for text in (f"c4nary{n:03}x".encode(), f"M{700000 + n} 1L".encode())]  # fmt: skip


def _house() -> tuple[Job, int]:
    """Return a job with a canary in every personal field of every kind, and how many there are."""
    count = 0
    entities: dict[str, dict[str, Any]] = {}
    for kind, shape in KINDS.items():
        if kind == "erased":
            continue
        entity: dict[str, Any] = {"kind": kind}
        for field in msgspec.structs.fields(shape):
            if field.name in PERSONAL:
                text = _told(count, field.name)
                several = list[str] in (field.type, *get_args(field.type))
                entity[field.name] = [text] if several else text
                count += 1
        entities[f"e_{kind}"] = entity
    finds = [{"kind": "sound", "note": _told(count, "note")}]
    entities["e_inspection"]["finds"] = finds
    entities["e_wall"]["build"] = {"value": "stud", "source": _told(count + 1, "source")}
    return Job("job_mill", title=_told(count + 2, "title"), entities=entities), count + 3


HOUSE, COUNT = _house()


def _all_bytes(folder: Path) -> Iterator[bytes]:
    for path in sorted(one for one in folder.rglob("*") if one.is_file()):
        content = path.read_bytes()
        yield path.name.encode() + content
        if content[:2] == b"PK":
            yield from _unpacked(content)


def _unpacked(content: bytes) -> Iterator[bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        for name in packed.namelist():
            yield packed.read(name)


def _hits(folder: Path) -> set[bytes]:
    """Return the canaries that stand anywhere below a folder, archives unpacked."""
    needles = [*_needles(COUNT), *(PERSON.encode(code) for code in ("utf-8", "utf-16-le"))]
    needles += [json.dumps(PERSON)[1:-1].encode()]
    everything = list(_all_bytes(folder))
    return {one for one in needles if any(one in content for content in everything)}


def _filled(store: Store) -> tuple[str, str, str]:
    """Put the person everywhere; return photos beside the name, that hold it, of a find with it."""
    beside = store.blobs.put(b"photo beside " + PERSON.encode("utf-8"), received=NOW)
    inside = store.blobs.put(b"\xff\xd8 Artist " + PERSON.encode("utf-16-le"), received=NOW)
    paper = store.blobs.put(b"%PDF " + PERSON.encode("utf-8"), received=NOW)
    pages = store.blobs.put(b"pages " + PERSON.encode("utf-8"), received=NOW)
    entities = {key: dict(one) for key, one in HOUSE.entities.items()}
    entities["e_seal"]["photo"] = beside
    entities["plain"] = {"kind": "seal", "photo": inside}
    of_find = store.blobs.put(b"mud", received=NOW)
    other = store.blobs.put(b"more mud", received=NOW)
    entities["added"] = {"kind": "photo", "of": "e_inspection", "photo": of_find}
    entities["stays"] = {"kind": "photo", "of": "e_seal", "photo": other}
    store.save(msgspec.structs.replace(HOUSE, entities=entities), at=NOW, writer="w")
    made = MadePaper("job_mill", paper, "quote", "en", "A4", "Quote", pages, 1, "v", NOW)
    keep_paper(store, made)
    store.append([b"rubbish of " + PERSON.encode(), json.dumps({"by": PERSON}).encode()],
                 received=NOW)  # fmt: skip
    store.job("job_mill")
    return beside, inside, of_find


def test_fifty_canaries_are_gone_from_every_byte(store: Store, tmp_path: Path) -> None:
    assert COUNT >= 50
    beside, inside, of_find = _filled(store)
    given = give_head(store, now=NOW)
    old = take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
    store.database.copy(tmp_path / "before.sqlite")
    assert len(_hits(tmp_path)) >= COUNT + 2  # each stands there before, in one form or another
    (tmp_path / "before.sqlite").unlink()

    found = look(store, "job_mill", [PERSON])
    assert (set(found.photos), len(found.aside), found.left) == ({beside, inside, of_find}, 2, ())
    erase(store, found, now=LATER)
    export_everything(store, tmp_path / "all.zip", now=LATER)
    taken, rotated = take_and_rotate(store, store.layout.backups, now=AFTER)
    assert rotated.staying == (old.path,)
    assert status(store.database, store.layout.backups).last == taken
    store.database.copy(tmp_path / "after.sqlite")
    assert _hits(old.path.parent)  # until the rotation, as it is told
    _, rotated = take_and_rotate(store, store.layout.backups, now=MONTH_LATER)
    assert rotated.removed == (old.path,)
    assert _hits(tmp_path) == set()

    assert not [one for one in check_store(store, [given]) if one.state == "bad"]
    assert alone.main([str(tmp_path / "all.zip"), str(given.size), given.root]) == 0
    job = store.job("job_mill")
    assert job.title == "(erased)"
    assert job.entities["e_authorisation"]["signature"] == ""
    assert papers_of(store, "job_mill") == ()
    assert store.quarantined() == []
    assert look(store, "job_mill", [PERSON]).texts == ()


def test_what_is_sent_again_stays_erased_whatever_the_order(store: Store, tmp_path: Path) -> None:
    beside, *_ = _filled(store)
    old = [sent_of(one) for one in store.events("job_mill")]
    export_everything(store, tmp_path / "old.zip", now=NOW)
    erase(store, look(store, "job_mill", [PERSON]), now=LATER)
    word = [sent_of(one) for one in store.events("job_mill") if erases(one)]
    store.append(old, received=LATER)
    import_everything(store, tmp_path / "old.zip", received=LATER)
    assert not store.blobs.has(beside)
    with pytest.raises(StoreError, match="erased"):
        store.blobs.put(b"photo beside " + PERSON.encode(), received=LATER)
    assert PERSON.encode() not in b"".join(store.lines())
    for n, order in enumerate(([*word, *old], [*old, *word])):
        other = Store.create(tmp_path / f"other{n}", device=f"other{n}")
        if n:
            other.blobs.put(b"photo beside " + PERSON.encode(), received=NOW)
        other.append(order, received=LATER)
        assert other.job("job_mill") == store.job("job_mill")
        assert PERSON.encode() not in b"".join(other.lines())
        assert not other.blobs.has(beside)
        other.close()


def test_what_was_erased_in_one_job_stays_so_where_others_come_with_it(
    store: Store, tmp_path: Path
) -> None:
    _filled(store)
    store.save(msgspec.structs.replace(HOUSE, id="job_other"), at=NOW, writer="w")
    old = [[sent_of(one) for one in store.events(job)] for job in ("job_mill", "job_other")]
    erase(store, look(store, "job_mill", [PERSON]), now=LATER)
    word = [sent_of(one) for one in store.events("job_mill") if erases(one)]
    for n, order in enumerate(([*old[0], *old[1]], [*old[1], *old[0]])):
        other = Store.create(tmp_path / f"both{n}", device=f"both{n}")
        other.append(word, received=LATER)
        other.append(order, received=LATER)
        with_text = {json.loads(one)["job"] for one in other.lines()
                     if PERSON.encode() in one}  # fmt: skip
        assert with_text == {"job_other"}
        other.close()


def test_what_stands_in_the_hash_is_told_and_stays(store: Store) -> None:
    phone = Device("phone", "job_mill")
    store.append(lines(phone.title("Mill"), phone.room("r", f"Room of {PERSON}")), received=NOW)
    found = look(store, "job_mill", [PERSON])
    assert [(one.device, one.seq, one.entity) for one in found.left] == [("phone", 2, "r")]
    erase(store, found, now=LATER)
    assert len(store.events("job_mill")) == 2  # nothing could go, so nothing is said to have gone


@pytest.mark.parametrize(
    ("names", "told"),
    [(["Ana"], "Ana saw it"), ([" ána "], "said by ANA."), (["555 0100"], "ring 555  0100")],
)
def test_a_name_is_found_as_a_word(store: Store, names: list[str], told: str) -> None:
    other = {"kind": "room", "name": "Banana, 5550100"}
    entities = {"a": {"kind": "room", "name": told}, "b": other}
    store.save(Job("job_mill", entities=entities), at=NOW, writer="w")
    assert look(store, "job_mill", names).places == (("a", "name"),)


def test_nobody_is_erased_by_an_empty_name(store: Store) -> None:
    with pytest.raises(StoreError, match="no job"):
        look(store, "job_mill", [PERSON])
    store.save(HOUSE, at=NOW, writer="w")
    for names in ([], [""], [PERSON, " "]):
        with pytest.raises(StoreError, match="whom"):
            look(store, "job_mill", names)


def test_the_command_asks_for_the_name_and_says_what_stays(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "record", device="office")
    _filled(store)
    take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
    store.append(lines(Device("phone", "job_mill").room("r", PERSON)), received=NOW)
    store.close()

    def type_(*arguments: str, typed: str = "") -> tuple[int, str]:
        told = CliRunner().invoke(main, ["erase", "job_mill", PERSON, *arguments], input=typed,
                                  env={"WAINSCOT_RECORD": str(tmp_path / "record")})  # fmt: skip
        return told.exit_code, told.output

    code, told = type_(typed="Anna\n")
    assert (code, "another name was typed" in told) == (2, True)
    code, told = type_("--backups-now", typed=f"{PERSON}\n")
    assert (code, told.count("taken away: ")) == (1, 1)  # one line is left in what is hashed
    assert "CANNOT be erased: r, number 1 of phone" in told
    code, told = type_("--yes")
    assert (code, "0 texts, 0 photos" in told) == (1, True)


def test_who_reads_while_somebody_is_erased_puts_no_text_back(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    _filled(store)
    found = look(store, "job_mill", [PERSON])
    store.append(lines(Device("phone", "job_mill").room("r", "Kitchen")), received=NOW)

    def slow(events: Any, job: str) -> Job:
        read = fold(events, job)
        erase(store, found, now=LATER)  # between reading the events and keeping the job
        return read

    monkeypatch.setattr(module, "fold", slow)
    assert store.job("job_mill").title != "(erased)"  # what stood there when it was read
    with store.database.reading() as connection:
        assert connection.execute(folded.select()).all() == []


def test_a_photo_that_is_erased_while_it_arrives_is_not_recorded(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    beside, *_ = _filled(store)
    erase(store, look(store, "job_mill", [PERSON]), now=LATER)
    monkeypatch.setattr(store.blobs, "erased", lambda _: False)  # as it was when the bytes came
    with pytest.raises(StoreError, match="erased for a person's sake"):
        store.blobs.put(b"photo beside " + PERSON.encode(), received=LATER)
    assert beside not in dict(store.blobs.rows())
    assert not store.blobs.path(beside).exists()

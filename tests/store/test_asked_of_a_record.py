"""What a record is asked: pages, how much of each job, who wrote, papers, rates, links."""

from __future__ import annotations

import json
import stat
import zipfile
from pathlib import Path

import msgspec
import pytest
from devices import LATER, NOW, Device, day, lines

from wainscot.store import (
    Accounts,
    Counts,
    DamagedError,
    FirmRates,
    Held,
    Layout,
    MadePaper,
    PaperLinks,
    PasswordError,
    Store,
    StoreError,
    doctor,
    erase,
    events_after,
    export_everything,
    firm_rates,
    give_head,
    held_by,
    import_everything,
    keep_paper,
    keep_rates,
    look,
    noted,
    paper_of,
    papers_of,
    photos_held_by,
    record_of,
    status,
    take,
    take_and_rotate,
)
from wainscot.store import whole as everything
from wainscot.store.archive import MANIFEST, noted_digest, sidecar

QUOTE = MadePaper("job_a", "ab" * 32, "quote", "en", "a4", "Quote", "cd" * 32, 2, "v1", NOW, "acc")


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Store:
    """A record that tests only read: five events of a phone, two of a van in another job."""
    made = Store.create(tmp_path_factory.mktemp("filled") / "record", device="office")
    phone, van = Device("phone"), Device("van", "job_b")
    made.append(lines(phone.title("Mill"), *(phone.room(f"r{n}", "x") for n in range(2))),
                received=NOW)  # fmt: skip
    made.append(lines(van.title("Barn")), received=NOW)
    made.append(lines(phone.room("r2", "y"), phone.room("r3", "y")), received=LATER)
    made.append([*lines(van.room("b", "z")), b"rubbish"], received=LATER)
    made.blobs.put(b"photo", received=NOW)
    return made


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store.create(tmp_path / "record", device="office")


def test_how_much_of_each_job_is_held_and_who_wrote_it(filled: Store) -> None:
    assert filled.held() == (Held("job_a", 5, 6), Held("job_b", 2, 7))
    assert [filled.through(one) for one in ("job_a", "job_b", "none")] == [6, 7, 0]
    assert [filled.wrote(one) for one in ("phone", "van", "office")] == [True, True, False]
    assert [filled.writers(one) for one in ("job_a", "job_b", "none")] == [
        {"phone"}, {"van"}, frozenset(),
    ]  # fmt: skip
    assert filled.counts() == Counts(events=7, jobs=2, devices=2, quarantined=1, blobs=1)


def test_pages_give_every_event_once_in_the_order_of_arrival(filled: Store) -> None:
    everything = filled.page()
    assert (everything.record, everything.through, everything.more) == ("office", 7, False)
    ids = [str(json.loads(line)["id"]) for line in everything.lines]
    assert ids == [one.id for one in filled.receipts()]
    first = filled.page(most=3)
    assert (first.through, first.more, first.lines) == (3, True, everything.lines[:3])
    second = filled.page(first.through, record="office", most=4)
    assert (second.through, second.more, second.lines) == (7, False, everything.lines[3:])
    end = filled.page(7, record="office")
    assert (end.through, end.more, end.lines) == (7, False, ())


def test_a_page_of_one_job_skips_the_others_and_another_records_number_counts_for_nothing(
    filled: Store,
) -> None:
    mine = filled.page(job_id="job_b")
    assert [json.loads(line)["device"] for line in mine.lines] == ["van", "van"]
    assert (mine.through, mine.more) == (7, False)
    assert filled.page(4, job_id="job_b").lines == mine.lines[1:]
    early = filled.page(until=mine.through - 1, job_id="job_b")
    assert (early.more, early.lines) == (False, mine.lines[:-1])
    end = filled.page(mine.through, until=mine.through)
    assert (end.through, end.more, end.lines) == (7, False, ())
    assert filled.page(6, record="before the restore").lines == filled.page().lines


def test_a_page_is_cut_at_about_a_megabyte_and_never_empty(store: Store) -> None:
    phone = Device("phone")
    store.append(lines(*(phone.title("x" * 600_000) for _ in range(3))), received=NOW)
    got = [store.page(n) for n in range(3)]
    assert [(len(one.lines), one.through, one.more) for one in got] == [
        (1, 1, True), (1, 2, True), (1, 3, False),
    ]  # fmt: skip


def test_what_no_backup_holds_is_told_by_job_event_and_photo(store: Store) -> None:
    store.append(lines(Device("phone").title("Mill")), received=NOW)
    old = store.blobs.put(b"old", received=NOW)
    assert events_after(store.database, None) == {"job_a": 1}
    assert photos_held_by(store.database, None, [old]) == ()
    taken = take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
    assert noted(store.database) == {taken.path.resolve(): taken.digest}
    assert events_after(store.database, taken) == {}
    store.append(lines(*day(Device("van", "job_b"), 2)), received=LATER)
    new = store.blobs.put(b"new", received=LATER)
    assert events_after(store.database, taken) == {"job_b": 2}
    assert photos_held_by(store.database, taken, [new, old, old, "ab" * 32]) == (old,)
    assert held_by(store.database, taken, store.missing([])) == store.missing([])[:1]
    assert (taken.events_through, taken.blobs_through, taken.events, taken.blobs) == (1, 1, 1, 1)


def test_an_archive_keeps_photos_as_they_are_packs_the_rest_and_ends_with_its_list(
    store: Store,
) -> None:
    store.append(lines(Device("phone").title("Mill")), received=NOW)
    photo = store.blobs.put(b"photo" * 100, received=NOW)
    path = take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW).path
    with zipfile.ZipFile(path) as packed:
        found = {one.filename: one.compress_type for one in packed.infolist()}
    assert found[f"blobs/{photo}"] == zipfile.ZIP_STORED
    assert found["record.sqlite"] == zipfile.ZIP_DEFLATED
    assert list(found)[-1] == MANIFEST
    # As sha256sum of GNU coreutils writes and reads it: hash, two spaces, name.
    assert sidecar(path).read_text("ascii") == f"{noted_digest(path)}  {path.name}\n"
    assert len(noted_digest(path)) == 64
    assert noted_digest(path.with_name("none.zip")) == ""
    sidecar(path).write_bytes(b"\xff")
    assert noted_digest(path) == ""


def test_files_and_folders_are_their_owners_alone(store: Store) -> None:
    photo = store.blobs.put(b"photo", received=NOW)
    path = store.blobs.path(photo)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert path == store.layout.folder / "blobs" / photo[:2] / photo


def test_where_things_lie() -> None:
    # docs/record.md shows these names: backups and other programs rest on them.
    layout = Layout(Path("r"))
    assert [one.name for one in (
        layout.database, layout.moved, layout.blobs, layout.backups, layout.key, layout.device_key
    )] == [
        "record.sqlite", "record.moved.sqlite", "blobs", "backups", "head-key.pem",
        "device-key.pem",
    ]  # fmt: skip


def test_a_paper_is_kept_once_by_job_and_content_the_newest_first(store: Store) -> None:
    assert keep_paper(store, QUOTE) == QUOTE
    again = msgspec.structs.replace(QUOTE, made=LATER, version="v2")
    assert keep_paper(store, again) == QUOTE  # the same bytes: the first stands
    other = msgspec.structs.replace(QUOTE, digest="ef" * 32, kind="notice")
    theirs = msgspec.structs.replace(QUOTE, job="job_b")
    for one in (other, theirs):
        assert keep_paper(store, one) == one
    assert papers_of(store, "job_a") == (other, QUOTE)
    assert papers_of(store, "job_b") == (theirs,)
    assert paper_of(store, "job_b", QUOTE.digest) == theirs
    assert paper_of(store, "job_b", other.digest) is None


def test_the_firms_rates_replace_those_before(store: Store) -> None:
    assert firm_rates(store) == FirmRates("", "", "")
    for rates in (FirmRates('{"hour": 85}', NOW, "Olga"), FirmRates("", LATER, "Ben")):
        keep_rates(store, rates)
        assert firm_rates(store) == rates
    assert store.page().record == "office"  # which stands in the same table


def test_a_links_time_is_over_at_its_last_second(store: Store) -> None:
    keep_paper(store, QUOTE)
    held = PaperLinks(store.database)
    made, _ = held.make(QUOTE, "trade", sender="Olga", days=1, at=NOW)
    assert made.until == "2025-03-15T10:00:00+00:00"
    assert [held.ended(made, at) for at in ("2025-03-15T09:59:59+00:00", made.until)] == [
        False, True,
    ]  # fmt: skip
    assert (made.reader, made.sender, made.made, made.printed) == ("trade", "Olga", NOW, NOW)
    with pytest.raises(StoreError, match="owner, tenant, trade"):
        held.make(QUOTE, "thief", sender="", days=1, at=NOW)


def test_the_newest_link_stands_first(store: Store) -> None:
    keep_paper(store, QUOTE)
    held = PaperLinks(store.database)
    made = [held.make(QUOTE, "owner", sender="", days=1, at=NOW)[0] for _ in range(3)]
    assert held.of("job_a") == tuple(reversed(made))
    assert held.of("job_b") == ()


def test_a_backup_from_before_an_erasure_goes_on_the_thirtieth_day(store: Store) -> None:
    store.append(lines(Device("phone").title("Mill")), received=NOW)
    old = store.blobs.put(b"ring Quilla Canary", received=NOW)
    seal = {"kind": "seal", "photo": old}
    store.append(lines(Device("van").write("add", entity="s", value=seal)), received=NOW)
    assert take_and_rotate(store, store.layout.backups, now=NOW)[1].staying == ()  # none erased
    erase(store, look(store, "job_a", ["Quilla Canary"]), now=LATER)
    _, day_29 = take_and_rotate(store, store.layout.backups, now="2025-04-13T10:59:59+00:00")
    assert (len(day_29.staying), day_29.removed) == (1, ())
    taken, day_30 = take_and_rotate(store, store.layout.backups, now="2025-04-13T11:00:00+00:00")
    assert (day_30.removed, day_30.staying) == (day_29.staying, ())
    gone = day_30.removed[0]
    assert not gone.exists()
    assert not sidecar(gone).exists()
    assert gone not in noted(store.database)
    assert taken.path.is_file()
    assert status(store.database, store.layout.backups).gone == ()


def test_a_short_name_is_not_looked_for_in_the_bytes_of_a_photo(store: Store) -> None:
    plain = store.blobs.put(b"\x00ana ru\x00", received=NOW)
    wide = store.blobs.put("\x00ANA RU\x00".encode("utf-16-be"), received=NOW)
    phone = Device("phone")
    seals = ({"kind": "seal", "photo": one} for one in (plain, wide))
    store.append(lines(*(phone.write("add", entity=f"s{n}", value=seal)
                         for n, seal in enumerate(seals))), received=NOW)  # fmt: skip
    # LEAST is six bytes: five of UTF-8 are too few, the same in UTF-16 are ten.
    assert look(store, "job_a", ["Ana R"]).photos == (wide,)
    assert look(store, "job_a", ["Ana Ru"]).photos == tuple(sorted([plain, wide]))


def test_a_package_holds_one_jobs_events_and_of_the_others_only_how_many(filled: Store) -> None:
    head = give_head(filled, now=LATER)
    files = record_of(filled, "job_b")
    assert sorted(files) == [
        "events.jsonl", "heads.jsonl", "keys.jsonl", "receipts.jsonl", "verify.py",
    ]  # fmt: skip
    assert files["events.jsonl"] == b"".join(line + b"\n" for line in filled.lines("job_b"))
    receipts = [json.loads(line) for line in files["receipts.jsonl"].splitlines()]
    assert [bool(one["id"]) for one in receipts] == [False, False, False, True, False, False, True]
    assert {len(one.get("leaf", "")) for one in receipts} == {0, 64}
    assert json.loads(files["heads.jsonl"])["root"] == head.root
    assert b"Mill" not in b"".join(one for name, one in files.items() if name != "verify.py")


def test_a_file_that_unpacks_to_more_than_there_is_room_for_is_refused_before_it_is_read(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.append(lines(Device("phone").title("Mill")), received=NOW)
    export_everything(store, tmp_path / "all.zip", now=NOW)
    size = len(store.lines()[0]) + 1
    monkeypatch.setattr(everything, "LARGEST_TEXT", size - 1)
    with pytest.raises(StoreError, match="too much"):
        import_everything(store, tmp_path / "all.zip", received=LATER)
    monkeypatch.setattr(everything, "LARGEST_TEXT", 10 * size)
    assert import_everything(store, tmp_path / "all.zip", received=LATER).receipt.known


def test_lines_that_were_put_aside_are_taken_in_with_everything(
    store: Store, tmp_path: Path
) -> None:
    aside = tmp_path / "all.zip"
    store.append([b"rubbish"], received=NOW)
    export_everything(store, aside, now=NOW)
    other = Store.create(tmp_path / "other", device="other")
    assert [one.raw for one in import_everything(other, aside, received=LATER).receipt.refused] == [
        b"rubbish"
    ]
    with pytest.raises(DamagedError, match="use restore"):
        import_everything(
            other, take(store.database, store.blobs, store.disk, tmp_path / "b", now=NOW).path,
            received=LATER,
        )  # fmt: skip


def test_the_words_of_the_server_make_no_password(store: Store) -> None:
    accounts = Accounts(store.database)
    accounts.words = ("oldmill",)
    with pytest.raises(PasswordError, match="fewer than 8"):
        accounts.add("Ann", "crew", "oldmill OLDMILL 99", at=NOW)
    assert accounts.all() == ()


@pytest.mark.parametrize(("skew", "told"), [(300.0, 0), (300.5, 1), (-301.0, 1), (None, 0)])
def test_a_clock_is_told_of_when_it_is_off_by_more_than_five_minutes(
    store: Store, skew: float | None, told: int
) -> None:
    store.append(lines(Device("phone").title("Mill")), received=NOW, skew=skew)
    found = [one for one in doctor(store, now=NOW) if one.what == "clock"]
    assert sum("was off by" in one.told for one in found) == told
    assert found[0].state == "good"  # an event that arrived this very moment is not of tomorrow

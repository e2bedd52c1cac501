"""What is found of a record, finding by finding: how many, in which order, with what to do."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from pathlib import Path

import msgspec
import pytest
from devices import LATER, NOW, Device, lines

from wainscot.record import Event, Head, tree
from wainscot.record.event import Beside
from wainscot.store import (
    Finding,
    Store,
    backed_up,
    check_store,
    doctor,
    give_head,
    proof,
    rows,
    status,
    take,
    vouched,
)
from wainscot.store.batches import in_parts
from wainscot.store.chains import Chain, Link, chains
from wainscot.store.findings import bad, told
from wainscot.store.keys import DeviceKey

ONE, TWO, THREE = ("ab" * 32, "cd" * 32, "ef" * 32)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.create(tmp_path / "record", device="office")
    yield made
    made.close()


def said(findings: Sequence[Finding]) -> list[tuple[str, str, str]]:
    """Return findings but for those that hang on this machine."""
    here = ("journal", "file", "file system", "space", "tables")
    return [(one.what, one.state, one.told) for one in findings if one.what not in here]


def short(key: str) -> str:
    """Sixteen figures of a key's SHA-256, in fours."""
    figures = hashlib.sha256(bytes.fromhex(key)).hexdigest()[:16]
    return " ".join(figures[n : n + 4] for n in range(0, 16, 4))


# The doctor.


def test_of_an_empty_record_only_the_backup_is_missing(store: Store) -> None:
    assert said(doctor(store, now=NOW, scrub=True)) == [
        ("clock", "good", NOW), ("put aside", "good", "nothing"),
        ("photo", "good", "0 read and as recorded"), ("backup", "bad", "none that can be restored"),
    ]  # fmt: skip
    assert "photo" not in [one.what for one in doctor(store, now=NOW)]


def test_each_fault_stands_once_in_its_place(store: Store) -> None:
    phone, copied, van = Device("phone"), Device("phone"), Device("van")
    one, _, three = (phone.title(text) for text in "abc")
    again = copied.title("d")
    van.prev, van.seq = "elsewhere", 4
    astray = van.title("e")
    store.append([*lines(one, three, again), b"rubbish", b"more"], received=LATER, skew=-301.0)
    store.append(lines(astray), received=LATER, skew=299.0)
    kept, gone = (store.blobs.put(text, received=LATER) for text in (b"kept", b"gone"))
    store.blobs.path(gone).unlink()
    loose = store.blobs.path("00" * 32)
    loose.parent.mkdir()
    loose.write_bytes(b"no row")
    found = said(doctor(store, now=NOW, scrub=True))
    assert [one for one in found if one[0] != "put aside"] == [
        ("clock", "bad", f"the clock says {NOW}, the last event arrived {LATER}"),
        ("clock", "note", "the clock of phone was off by 301 s"),
        ("chain", "note", "phone: events 2 to 2 have not arrived"),
        ("chain", "note", "phone: number 1 stands more than once; all are kept"),
        ("chain", "note", "van: events 1 to 4 have not arrived"),
        ("photo", "bad", f"{gone[:12]} is missing"),
        ("photo", "note", f"{'00' * 6} is without a row"),
        ("backup", "bad", "none that can be restored"),
    ]  # fmt: skip
    (aside,) = [one for one in found if one[0] == "put aside"]
    assert aside[1:] == ("note", f"2 lines were no sound events: {store.quarantined()[0].reason}")
    assert kept[:12] not in str(found)


def test_the_newest_good_backup_is_told_with_what_came_later(store: Store) -> None:
    store.append(lines(Device("phone").title("a")), received=NOW)
    folder = store.layout.backups
    first = take(store.database, store.blobs, store.disk, folder, now=LATER)
    older = take(store.database, store.blobs, store.disk, folder, now=NOW)  # the same, at ten
    assert status(store.database, folder).last == first
    store.append(lines(*(Device("van").title(text) for text in "b")), received=LATER)
    store.blobs.put(b"one", received=LATER)
    store.blobs.put(b"two", received=LATER)
    older.path.write_bytes(b"")
    assert [one for one in said(doctor(store, now=LATER)) if one[0] == "backup"] == [
        ("backup", "bad", f"{older.path.name} is damaged"),
        ("backup", "note", f"{first.path.name}; 1 events and 2 photos later"),
        ("backup", "note", "the backup lies on the disk that the record lies on"),
    ]


def test_since_when_no_backup_holds_all_is_a_moment_not_a_text(store: Store) -> None:
    # Noon two hours east of Greenwich is ten there: earlier than eleven, though it sorts later.
    store.append(lines(Device("phone").title("a")), received="2025-03-14T12:00:00+02:00")
    store.blobs.put(b"one", received="2025-03-14T11:00:00+00:00")
    found = backed_up.later(store.database, None)
    assert (found.events_after, found.blobs_after) == (1, 1)
    assert found.since == "2025-03-14T12:00:00+02:00"
    assert (found.last, found.damaged, found.gone) == (None, (), ())


# Verify.


def test_what_cannot_be_shown_hangs_on_the_heads_from_outside() -> None:
    def notes(size: int, kept: int, *given: int) -> list[str]:
        heads = [Head(one, ONE) for one in given]
        found = list(proof._cannot(size, [Head(1, ONE)] * kept, heads))
        assert {(one.what, one.state) for one in found} == {("cannot show", "note")}
        return [one.told for one in found]

    none, tail, signed, clock = notes(5, 1)
    assert none.startswith("no head from outside was given")
    assert tail.startswith("whether events 1 to 5, which came after")
    assert signed.startswith("who signed")
    assert clock.startswith("whether this machine's clock was right")
    assert notes(0, 0) == [none, clock]
    assert notes(5, 0, 5) == [signed, clock]
    assert notes(7, 0, 5, 3) == [tail.replace("1 to 5", "6 to 7"), signed, clock]


def test_a_head_holds_by_size_root_and_signature() -> None:
    leaves = [tree.leaf_hash(bytes([n])) for n in range(3)]
    found = tree.roots(leaves, [2, 3])
    right = found[2].hex()
    for head, what, state, words in (
        (Head(2, right), "given head", "good", "head of 2 events: holds (size and root; no sig"),
        (Head(2, right), "head", "bad", "head of 2 events: its signature is not that of its key"),
        (Head(2, right, NOW, ONE, "00" * 64), "given head", "bad", f"head of 2 events, {NOW}: its"),
        (Head(2, ONE), "given head", "bad", "head of 2 events: these are not the events"),
        (Head(5, ONE), "head", "bad", "head of 5 events: only 3 events are here, 2 were taken out"),
    ):
        one = proof._held(head, found, 3, what)
        assert (one.what, one.state) == (what, state)
        assert one.told.startswith(words)


def test_every_part_of_a_whole_record_is_counted(store: Store) -> None:
    phone = Device("phone")
    store.append(lines(phone.title("a"), phone.title("b")), received=NOW)
    store.append(lines(Device("van", "job_b").title("c")), received=NOW)
    store.blobs.put(b"photo", received=NOW)
    head = give_head(store, now=LATER)
    store.job("job_a")  # keeps it folded
    whole = check_store(store, [head])
    assert [one.state for one in whole if one.state == "bad"] == []
    texts = [(one.what, one.told) for one in whole]
    for wanted in (
        ("signature", "0 of 3 events are signed; each fits"),
        ("signature", "phone: 2 of 2 events are not signed"),
        ("text", "0 personal texts fit their hashes; 0 were erased"),
        ("chain", "2 devices; each event names the one before"),
        ("head", "1 kept; each holds and is signed"),
        ("key", f"{short(head.key)} signed 1; compare it with the papers"),
        ("job", "1 kept as shown; each is what its events add up to"),
        ("photo", "1 read and as recorded"),
    ):
        assert wanted in texts
    assert "photo" not in [one.what for one in check_store(store, [head], photos=False)]
    # The same head, though the record no longer lists it.
    with store.database.writing() as connection:
        connection.exec_driver_sql("DELETE FROM head")
    (bad_one,) = [one for one in check_store(store, [head]) if one.state == "bad"]
    assert bad_one.told == f"the record does not list the head of 3 events, {LATER}"


def test_a_number_of_arrival_that_is_missing_is_told(store: Store) -> None:
    phone = Device("phone")
    store.append(lines(*(phone.title(text) for text in "abc")), received=NOW)
    assert "order" not in [one.what for one in check_store(store)]
    with store.database.writing() as connection:
        connection.exec_driver_sql("UPDATE event SET n = 4 WHERE n = 3")
    assert [one.what for one in check_store(store) if one.state == "bad"] == ["order"]


def test_a_job_that_is_shown_otherwise_than_its_events_add_up_to_is_told(store: Store) -> None:
    phone = Device("phone")
    store.append(lines(phone.title("Mill")), received=NOW)
    store.job("job_a")
    for other in ("replace(body, 'Mill', 'Hall')", "'{'"):
        with store.database.writing() as connection:
            connection.exec_driver_sql(f"UPDATE folded SET body = CAST({other} AS BLOB)")
        (one,) = [one for one in check_store(store) if one.state == "bad"]
        assert (one.what, one.told) == (
            "job", "job job_a as it is shown is not what its events add up to")  # fmt: skip
    # One of an older fold is not shown, so it says nothing.
    with store.database.writing() as connection:
        connection.exec_driver_sql("UPDATE folded SET head = 'x'")
    assert not [one for one in check_store(store) if one.state == "bad"]


# Signatures, by hand.


def signed(device: Device, *keys: str) -> list[Event]:
    """Return events of a device, each beside a key; an empty one for not signed."""
    return [msgspec.structs.replace(device.title("x"), beside=Beside(key)) for key in keys]


def vouching(events: list[Event], *keys: DeviceKey) -> list[tuple[str, str]]:
    return [(one.state, one.told) for one in vouched.signatures(events, keys)]


def test_a_device_that_signed_once_signs_all_that_comes_later_by_a_key_it_told() -> None:
    phone = signed(Device("phone"), "", ONE, "", TWO)
    told_one = DeviceKey("phone", ONE, NOW, LATER)
    assert vouching([phone[3], *phone[:3]], told_one, DeviceKey("van", TWO, NOW)) == [
        ("bad", "phone: number 3 is not signed, and number 2 is"),
        ("bad", f"phone: number 4 is signed by {short(TWO)}, a key not told for it"),
        ("note", "phone: 2 of 4 events are not signed"),
        ("note", f"phone: its key changed: {short(ONE)}, then {short(TWO)}"),
        ("note", f"phone: key {short(ONE)} ended {LATER}"),
    ]
    van = signed(Device("van"), THREE)
    assert vouching([*signed(Device("phone"), ONE, ONE), *van], DeviceKey("phone", ONE, NOW)) == [
        ("good", "3 of 3 events are signed; each fits"),
        ("note", f"van: signed by {short(THREE)}; nobody told here that this is its key"),
    ]
    assert vouching(signed(Device("bare"), "", "")) == [
        ("good", "0 of 2 events are signed; each fits"),
        ("note", "bare: 2 of 2 events are not signed"),
    ]
    assert vouching([]) == [("good", "0 of 0 events are signed; each fits")]


# Chains, lists and parts.


def test_gaps_forks_breaks_and_heads_of_a_chain() -> None:
    # 1, 3, 3 again, 4 after the second 3, 8 and 9 after something else.
    links = [Link("i", "van", 9, "z"), Link("h", "van", 8, "q"), Link("a", "van", 1, ""),
             Link("d", "van", 4, "c"), Link("c", "van", 3, "b"), Link("e", "van", 3, "b"),
             Link("m", "box", 1, "a")]  # fmt: skip
    box, van = chains(links)
    assert box == Chain("box", 1, 1, ("m",), breaks=("m",))
    heads = ("a", "d", "e", "h", "i")
    assert van == Chain("van", 6, 9, heads, gaps=((2, 2), (5, 7)), forks=(3,), breaks=("i",))
    assert (box.whole, van.whole) == (False, False)
    assert [one.whole for one in chains([Link("a", "x", 1, ""), Link("b", "x", 2, "a")])] == [True]
    assert chains([]) == ()
    assert chains([Link("b", "x", 2, "")])[0].breaks == ("b",)
    assert [one.told for one in proof._holes(van)] == [
        "van: events 2 to 2 are not here: not sent yet, or taken out",
        "van: events 5 to 7 are not here: not sent yet, or taken out",
        "van: number 3 stands more than once",
    ]
    assert {(one.what, one.state) for one in proof._holes(van)} == {("chain", "note")}


def test_ten_faults_are_told_one_by_one_and_the_others_counted() -> None:
    assert list(told("event", [], "all well")) == [Finding("event", "good", "all well")]
    ten = [f"fault {n}" for n in range(10)]
    assert list(told("event", ten, "all well")) == [bad("event", one) for one in ten]
    more = list(told("event", [*ten, "x", "y"], "all well"))
    assert more == [*(bad("event", one) for one in ten), Finding("event", "bad", "and 2 more")]


def test_values_come_in_parts_and_lines_in_batches(monkeypatch: pytest.MonkeyPatch) -> None:
    assert list(in_parts("abcde", 2)) == [["a", "b"], ["c", "d"], ["e"]]
    assert list(in_parts("abcd", 2)) == [["a", "b"], ["c", "d"]]
    assert list(in_parts([])) == []
    assert [len(one) for one in in_parts(range(1001))] == [500, 500, 1]
    monkeypatch.setattr(rows, "BATCH_BYTES", 8)
    four, five, nine = b"1234", b"12345", b"123456789"
    assert list(rows.by_size([four, four, four])) == [(four, four), (four,)]
    assert list(rows.by_size([four, five, nine, four])) == [(four,), (five,), (nine,), (four,)]
    assert list(rows.by_size([nine])) == [(nine,)]
    assert list(rows.by_size([])) == []


def test_the_name_of_a_set_is_the_hash_of_its_sorted_ids(store: Store) -> None:
    made = [Device("phone").title("a"), Device("van", "job_b").title("b")]
    store.append(lines(*made), received=NOW)

    def name(*ids: str) -> str:
        return hashlib.sha256("".join(f"{one}\n" for one in sorted(ids)).encode()).hexdigest()

    assert store.head("job_a") == name(made[0].id)
    assert store.head() == name(made[0].id, made[1].id)
    assert store.head("none") == hashlib.sha256(b"").hexdigest()
    with store.database.reading() as connection:
        assert rows.tip(connection, "phone") == (1, made[0].id)
        assert rows.tip(connection, "none") == (0, "")

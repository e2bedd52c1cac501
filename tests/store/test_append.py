"""Events on disk: every line is accounted for, repeats change nothing, bad ones hold up nobody."""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path

import pytest
from devices import LATER, NOW, Device, address_of, day, lines
from sqlalchemy import update

from wainscot.job import Job
from wainscot.record import RecordError, canonical, event_id, fold, sent_of
from wainscot.store import (
    DamagedError,
    DiskFullError,
    Link,
    NoRecordError,
    SqliteFile,
    Store,
    StoreError,
    chains,
)
from wainscot.store.tables import event


def test_what_was_written_is_there_after_opening_again(store: Store) -> None:
    phone = Device("phone")
    written = [phone.title("Mill"), phone.room("r", "Kitchen")]
    receipt = store.append(lines(*written), received=NOW, skew=1.5)
    assert receipt.added == tuple(one.id for one in written)
    store.close()
    again = Store.open(store.layout.folder, now=NOW, address=address_of(store))
    assert again.job("job_a") == fold(written, "job_a")
    assert again.events("job_a") == tuple(written)
    assert [(one.received, one.skew) for one in again.receipts()] == [(NOW, 1.5)] * 2
    again.close()


def test_sending_again_changes_nothing_and_keeps_the_first_receipt(store: Store) -> None:
    sent = lines(*day(Device("phone"), 10))
    store.append(sent, received=NOW)
    before = store.head(), store.counts(), store.receipts()
    receipt = store.append([*sent, sent[0]], received=LATER)
    assert (len(receipt.added), len(receipt.known), len(receipt.refused)) == (0, 11, 0)
    assert (store.head(), store.counts(), store.receipts()) == before


def test_the_same_event_twice_in_one_batch_is_written_once(store: Store) -> None:
    (line,) = lines(Device("phone").title("Mill"))
    receipt = store.append([line, line], received=NOW)
    assert (len(receipt.added), len(receipt.known)) == (1, 1)
    assert store.counts().events == 1


def test_an_event_is_kept_however_its_json_was_spaced(store: Store) -> None:
    (line,) = lines(Device("phone").title("Mill"))
    store.append([json.dumps(json.loads(line), indent=2).encode()], received=NOW)
    assert store.lines() == [line]


POISON = [
    b"", b"\xff", b"{", b"[]", b"null", b"{}", b'{"schema": 1}', b'{"schema": 2, "id": "x"}',
    b'{"a": 1, "a": 2}', b'{"schema": NaN}', b"[" * 100_000, b"9" * 5000,
    b'{"schema": 1, "id": "\\ud800"}',
]  # fmt: skip


def test_bad_lines_are_put_aside_with_a_reason_and_hold_up_nobody(store: Store) -> None:
    good = lines(*day(Device("phone"), len(POISON)))
    mixed = [line for pair in zip(POISON, good, strict=True) for line in pair]
    receipt = store.append(mixed, received=NOW)
    assert len(receipt.added) == len(good)
    assert [one.raw for one in receipt.refused] == POISON
    assert all(one.reason for one in receipt.refused)
    assert {one.raw for one in store.quarantined()} == set(POISON)
    assert {one.digest for one in store.quarantined()} == {
        hashlib.sha256(raw).hexdigest() for raw in POISON
    }
    assert store.counts().quarantined == len(POISON)
    assert len(store.job("job_a").entities) > 0


def test_a_value_that_would_stop_every_later_fold_is_put_aside(store: Store) -> None:
    body = json.loads(lines(Device("phone").title("Mill"))[0])
    for field, value in [("title", 3), ("units", "rods"), ("units", ["m"]), ("colour", "red")]:
        poison = {**body, "field": field, "value": value}
        poison["id"] = event_id(poison)
        assert store.append([canonical(poison)], received=NOW).refused
    assert store.job("job_a") == Job("job_a")


def test_an_altered_event_and_one_too_large_are_put_aside(store: Store) -> None:
    (line,) = lines(Device("phone").title("Mill"))
    (large,) = lines(Device("phone").title("x" * (1 << 20)))
    receipt = store.append([line.replace(b"Mill", b"Hall"), large], received=NOW)
    assert ["altered" in receipt.refused[0].reason, "largest" in receipt.refused[1].reason] == [
        True, True,
    ]  # fmt: skip


def test_a_newer_form_is_refused_by_name_and_let_in_once_it_can_be_read(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    newer = {"schema": 2, **{k: v for k, v in _body().items() if k != "schema"}}
    newer["id"] = event_id(newer)
    assert "newer" in store.append([canonical(newer)], received=NOW).refused[0].reason
    # ``wainscot.record.event`` names the function; the module is behind it.
    monkeypatch.setattr(sys.modules["wainscot.record.event"], "SCHEMA", 2)
    assert store.append([canonical(newer)], received=LATER).added == (newer["id"],)
    assert store.job("job_a").title == "Mill"


def _body() -> dict[str, object]:
    content: dict[str, object] = json.loads(lines(Device("phone").title("Mill"))[0])
    return content


def test_fields_that_nobody_knows_are_on_disk_as_they_came(store: Store) -> None:
    body = {**_body(), "pressure": {"unit": "hPa", "value": "1013"}}
    body["id"] = event_id(body)
    store.append([canonical(body)], received=NOW)
    assert store.lines() == [canonical(body)]
    assert store.job("job_a").title == "Mill"


def test_a_time_without_offset_is_no_receipt(store: Store) -> None:
    with pytest.raises(RecordError):
        store.append([], received="2025-03-14T10:00:00")


def test_the_kept_job_is_the_fold_and_falls_when_an_event_comes(store: Store) -> None:
    van, phone = Device("van"), Device("phone")
    first = day(van, 40)
    store.append(lines(*first), received=NOW)
    assert store.job("job_a") == store.job("job_a") == fold(first, "job_a")
    late = day(phone, 40)
    store.append(lines(*late), received=NOW)
    assert store.job("job_a") == fold([*late, *first], "job_a")
    assert store.job("job_a").conflicts


def test_a_job_without_events_is_empty_and_not_listed(store: Store) -> None:
    assert store.job("job_z") == Job("job_z")
    assert store.jobs() == ()


def test_damage_in_the_file_is_told_and_not_folded(store: Store) -> None:
    store.append(lines(*day(Device("phone"), 3)), received=NOW)
    with store.database.writing() as connection:
        connection.execute(update(event).where(event.c.n == 2).values(body=b"{}"))
    with pytest.raises(DamagedError, match="restore"):
        store.job("job_a")
    with store.database.writing() as connection:
        connection.execute(update(event).where(event.c.n == 2).values(body=b"{"))
    with pytest.raises(DamagedError):
        store.events("job_a")


def test_gaps_and_forks_are_kept_and_told(store: Store) -> None:
    phone = Device("phone")
    a, b, c = day(phone, 3)
    copied = Device("phone")
    copied.seq, copied.prev = 1, a.id
    fork = copied.title("Hall")
    store.append(lines(c, fork), received=NOW)
    (chain,) = store.chains()
    assert (chain.count, chain.last, chain.gaps, chain.forks) == (2, 3, ((1, 1),), ())
    # c names b as the one before, and there is another event of that number.
    assert (chain.breaks, chain.whole) == ((c.id,), False)
    store.append(lines(a, b), received=NOW)
    (chain,) = store.chains()
    assert (chain.gaps, chain.forks, chain.breaks) == ((), (2,), ())
    assert set(chain.heads) == {c.id, fork.id}
    assert store.counts().events == 4


def test_a_chain_without_fault_is_whole_in_any_order() -> None:
    links = [Link(f"i{n}", "van", n, f"i{n - 1}" if n > 1 else "") for n in range(1, 9)]
    for order in (links, links[::-1]):
        (chain,) = chains(order)
        assert chain.whole
        assert (chain.heads, chain.last) == (("i8",), 8)


@pytest.mark.parametrize(
    "link", [Link("b", "van", 1, "a"), Link("b", "van", 2, ""), Link("b", "van", 2, "z")]
)
def test_a_wrong_name_for_the_event_before_is_a_break(link: Link) -> None:
    (chain,) = chains([Link("a", "van", 1, ""), link])
    assert chain.breaks == ("b",)


def test_two_records_become_one_by_sending_what_the_other_lacks(tmp_path: Path) -> None:
    one = Store.create(tmp_path / "one", device="office")
    two = Store.create(tmp_path / "two", device="van")
    one.append(lines(*day(Device("a"), 700)), received=NOW)
    two.append(lines(*day(Device("b", "job_b"), 30)), received=NOW)
    for here, there in ((one, two), (two, one)):
        there_has = there.missing([])
        mine = set(here.missing([]))
        new = tuple(one for one in there_has if one not in mine)
        assert here.wanted([*there_has, *there_has]) == new
        for batch in here.batches(here.missing(there_has)):
            assert len(batch) <= 500
            there.append(batch, received=NOW)
    assert one.head() == two.head()
    assert one.lines() == two.lines()
    assert one.missing(two.missing([])) == ()
    assert one.jobs() == two.jobs() == ("job_a", "job_b")
    assert len(one.missing([], "job_b")) == 30
    assert one.counts().events == 730
    one.close()
    two.close()


def test_batches_stay_near_a_megabyte(store: Store) -> None:
    phone = Device("phone")
    store.append(lines(*(phone.title("x" * 300_000) for _ in range(7))), received=NOW)
    sizes = [sum(map(len, batch)) for batch in store.batches(store.missing([]))]
    assert len(sizes) == 3
    assert max(sizes) <= 1 << 20
    assert list(store.batches([])) == list(store.batches(["unheard of"])) == []


def test_a_job_can_be_read_though_its_fold_cannot_be_kept(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    events = day(Device("phone"), 5)
    store.append(lines(*events), received=NOW)

    def full() -> None:
        raise DiskFullError("full")

    monkeypatch.setattr(store.database, "writing", full)
    assert store.job("job_a") == fold(events, "job_a")


def test_what_is_left_of_a_record_whose_making_broke_off_is_none_and_can_be_made_again(
    tmp_path: Path,
) -> None:
    torn = SqliteFile(tmp_path / "record.sqlite")
    with torn.writing():
        pass
    torn.close()
    with pytest.raises(NoRecordError):
        Store.open(tmp_path, now=NOW)
    made = Store.create(tmp_path, device="office")
    made.save(Job("job_a", title="Mill"), at=NOW, writer="w")
    made.close()


def test_a_record_is_not_made_over_another_nor_opened_where_there_is_none(
    store: Store, tmp_path: Path
) -> None:
    with pytest.raises(StoreError, match="already"):
        Store.create(store.layout.folder, device="other", address=address_of(store))
    with pytest.raises(StoreError, match="no record"):
        Store.open(tmp_path / "nowhere", now=NOW)


def test_a_text_that_comes_after_its_event_is_shown(store: Store, tmp_path: Path) -> None:
    other = Store.create(tmp_path / "other", device="other")
    [named] = other.save(Job("job_a", title="Mill"), at=NOW, writer="w")
    other.close()
    store.append(lines(named), received=NOW)
    assert store.job("job_a").title != "Mill"  # only the hash of it is here
    assert store.append([sent_of(named)], received=LATER).known == (named.id,)
    assert store.job("job_a").title == "Mill"

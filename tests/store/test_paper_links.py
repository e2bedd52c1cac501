"""Links to a paper: what is kept of them, and when they lead nowhere."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import msgspec
import pytest
from devices import LATER, NOW, Device, day, lines
from sqlalchemy import delete

from wainscot.store import (
    MadePaper,
    PaperLink,
    PaperLinks,
    Store,
    StoreError,
    keep_paper,
    links,
    restore,
    take,
)
from wainscot.store.links import Seen
from wainscot.store.tables import paper

QUOTE = MadePaper("job_a", "ab" * 32, "quote", "en", "a4", "Quote", "cd" * 32, 2, "v", NOW)
AFTER = "2025-03-22T10:00:00+00:00"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.create(tmp_path / "record", device="office")
    made.append(lines(*day(Device("phone"), 3)), received=NOW)
    keep_paper(made, QUOTE)
    yield made
    made.close()


def _make(
    held: PaperLinks, of: MadePaper = QUOTE, days: int = 7, at: str = NOW
) -> tuple[PaperLink, str]:
    return held.make(of, "owner", sender="Olga", days=days, at=at)


def test_a_token_leads_to_its_paper_and_no_token_is_kept(store: Store) -> None:
    held = PaperLinks(store.database)
    made, token = _make(held)
    assert held.use(token, "opened", at=NOW) == made
    assert (made.title, made.language, made.pages) == ("Quote", "en", "cd" * 32)
    assert len(token) >= 43  # 256 bits in base64, six bits a letter
    store.close()
    kept = b"".join(one.read_bytes() for one in store.layout.folder.rglob("*") if one.is_file())
    assert token.encode() not in kept
    assert hashlib.sha256(token.encode()).hexdigest().encode() in kept


def test_views_are_noted_with_time_and_act_alone(store: Store) -> None:
    held = PaperLinks(store.database)
    made, token = _make(held)
    for seen in get_args(Seen):
        held.use(token, seen, at=LATER)
    assert [(one.at, one.seen) for one in held.views("job_a", made.id)] == [
        (LATER, "opened"), (LATER, "read"), (LATER, "saved"),
    ]  # fmt: skip
    assert held.views("job_b", made.id) == ()
    assert (held.of("job_a")[0].views, held.of("job_a")[0].last) == (3, LATER)


def test_more_views_than_are_kept_are_still_counted(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(links, "MOST_VIEWS", 2)
    held = PaperLinks(store.database)
    made, token = _make(held)
    for _ in range(4):
        held.use(token, "read", at=NOW)
    assert len(held.views("job_a", made.id)) == 2
    assert held.of("job_a")[0].views == 4


def test_what_ended_was_taken_back_or_never_was_leads_nowhere(store: Store) -> None:
    held = PaperLinks(store.database)
    made, token = _make(held)
    assert made.until == "2025-03-21T10:00:00+00:00"
    last = "2025-03-21T09:59:59+00:00"
    assert held.use(token, "read", at=last) is not None
    assert held.use(token, "read", at=made.until) is None
    assert held.use(token[:-1], "read", at=NOW) is None
    assert held.revoke("job_b", made.id, at=NOW) is None
    assert held.use(token, "read", at=NOW) is not None
    assert held.revoke("job_a", made.id, at=LATER) is not None
    assert held.use(token, "read", at=NOW) is None
    again = held.revoke("job_a", made.id, at=AFTER)
    assert again is not None
    assert again.revoked == LATER


def test_a_paper_that_is_gone_is_led_to_by_no_link(store: Store) -> None:
    held = PaperLinks(store.database)
    _, token = _make(held)
    with store.database.writing() as connection:
        connection.execute(delete(paper))
    assert held.use(token, "read", at=NOW) is None
    assert [(one.title, one.views) for one in held.of("job_a")] == [("", 0)]


def test_too_long_or_too_many_is_refused(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    held = PaperLinks(store.database)
    for days in (0, 366):
        with pytest.raises(StoreError, match="1 to 365 days"):
            _make(held, days=days)
    monkeypatch.setattr(links, "MOST_LINKS", 1)
    _make(held)
    with pytest.raises(StoreError, match="at most 1 links; take one back"):
        _make(held)
    _make(held, msgspec.structs.replace(QUOTE, job="job_b"))
    _make(held, at=AFTER)  # the one before has ended


def test_after_a_restore_no_link_leads_anywhere(store: Store, tmp_path: Path) -> None:
    _, token = _make(PaperLinks(store.database))
    taken = take(store.database, store.blobs, store.disk, store.layout.backups, now=LATER)
    again = restore(taken.path, tmp_path / "again", device="office-2", now=LATER)
    held = PaperLinks(again.database)
    assert held.use(token, "read", at=LATER) is None
    assert [one.revoked for one in held.of("job_a")] == [LATER]
    again.close()

"""Phones that sync over a bad line until all hold the same."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path

from wainscot.record import Event, event, event_of, fold, line_of
from wainscot.store import Store
from wainscot.store.backup import set_hash

NOW = "2025-03-14T10:00:00+00:00"


class Phone:
    """Holds lines; knows only what it was told."""

    def __init__(self, name: str, count: int, source: random.Random) -> None:
        self.name = name
        self.events: dict[str, Event] = {}
        self.acked: set[str] = set()
        prev = ""
        for n in range(1, count + 1):
            made = self._made(n, prev, source)
            prev = made.id
            self.events[made.id] = made

    def _made(self, n: int, prev: str, source: random.Random) -> Event:
        room = f"room_{source.randrange(20)}"
        at = f"2025-03-14T{source.randrange(24):02d}:{source.randrange(60):02d}:00+00:00"
        common = {"job": "job_a", "device": self.name, "seq": n, "prev": prev, "at": at}
        if n % 5 == 1:
            value = {"kind": "room", "name": f"{self.name} {n}"}
            return event("add", entity=room, value=value, **common)  # type: ignore[arg-type]
        if n % 17 == 0:
            return event("withdraw", entity=room, **common)  # type: ignore[arg-type]
        return event("set", entity=room, field="name", value=f"{self.name} {n}", **common)  # type: ignore[arg-type]


def _batches(ids: list[str], source: random.Random) -> Iterator[list[str]]:
    source.shuffle(ids)
    while ids:
        size = source.randrange(20, 200)
        yield ids[:size]
        del ids[:size]


def swarm(folder: Path, phones: int, count: int, seed: int) -> dict[str, int]:
    """Sync phones until nothing is missing anywhere; return how often the line failed, and whether
    all hold the same set and the same job."""
    source = random.Random(seed)
    store = Store.create(folder, device="office")
    crew = [Phone(f"phone{n}", count, source) for n in range(phones)]
    failed = {"dropped": 0, "acks_lost": 0, "repeated": 0}
    rounds = 0
    while any(not _level(phone, store) for phone in crew):
        rounds += 1
        phone = source.choice(crew)
        _send(phone, store, source, failed)
        _fetch(phone, store, source, failed)
        if source.random() < 0.1:  # the server was started anew
            store.close()
            store = Store.open(folder, now=NOW)
    head = store.head()
    job = store.job("job_a")
    same = all(set_hash(phone.events) == head for phone in crew)
    folds = all(fold(_shuffled(phone, source), "job_a") == job for phone in crew[:2])
    counts = store.counts()
    store.close()
    return {**failed, "rounds": rounds, "one_hash": int(same), "one_job": int(folds),
            "events": counts.events, "conflicts": len(job.conflicts)}  # fmt: skip


def _shuffled(phone: Phone, source: random.Random) -> list[Event]:
    events = list(phone.events.values())
    source.shuffle(events)
    return events


def _level(phone: Phone, store: Store) -> bool:
    return store.head() == set_hash(phone.events)


def _send(phone: Phone, store: Store, source: random.Random, failed: dict[str, int]) -> None:
    for ids in _batches(sorted(phone.events.keys() - phone.acked), source):
        lines = [line_of(phone.events[one]) for one in ids]
        chance = source.random()
        if chance < 0.2:
            failed["dropped"] += 1
            continue
        if chance < 0.3:
            failed["repeated"] += 1
            lines += lines[: len(lines) // 2]
        receipt = store.append(lines, received=NOW)
        assert len(receipt.added) + len(receipt.known) + len(receipt.refused) == len(lines)
        assert not receipt.refused
        if source.random() < 0.2:
            failed["acks_lost"] += 1
        else:
            phone.acked.update(receipt.added, receipt.known)


def _fetch(phone: Phone, store: Store, source: random.Random, failed: dict[str, int]) -> None:
    for batch in store.batches(store.missing(phone.events)):
        if source.random() < 0.2:
            failed["dropped"] += 1
            continue
        for line in batch:
            got = event_of(json.loads(line))
            phone.events[got.id] = got
            phone.acked.add(got.id)

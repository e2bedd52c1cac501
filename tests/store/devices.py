"""Devices that write, and records to write to: shared by the tests of the store."""

from __future__ import annotations

import random
from typing import Any

from wainscot.record import Event, event, line_of
from wainscot.store import Postgres, Store

NOW = "2025-03-14T10:00:00+00:00"
LATER = "2025-03-14T11:00:00+00:00"


class Device:
    """A phone that writes events of one job, each after the other."""

    def __init__(self, name: str, job: str = "job_a") -> None:
        self.name = name
        self.job = job
        self.seq = 0
        self.prev = ""

    def write(self, kind: Any = "set", **parts: Any) -> Event:
        """Return the device's next event."""
        self.seq += 1
        minute, second = divmod(self.seq, 60)
        made = event(
            kind, job=self.job, device=self.name, seq=self.seq, prev=self.prev,
            at=f"2025-03-14T{minute // 60 % 24:02d}:{minute % 60:02d}:{second:02d}+00:00", **parts,
        )  # fmt: skip
        self.prev = made.id
        return made

    def title(self, text: str) -> Event:
        """Return an event that names the job."""
        return self.write(field="title", value=text)

    def room(self, key: str, name: str) -> Event:
        """Return an event that adds a room."""
        return self.write("add", entity=key, value={"kind": "room", "name": name})


def lines(*events: Event) -> list[bytes]:
    """Return events as lines."""
    return [line_of(one) for one in events]


def day(device: Device, count: int, seed: int = 0) -> list[Event]:
    """Return so many events as a device might write them: rooms, new names, withdrawals."""
    source = random.Random(f"{seed} {device.name}")
    made: list[Event] = []
    for n in range(count):
        room = f"room_{source.randrange(12)}"
        if n % 4 == 0:
            made.append(device.room(room, f"{device.name} {n}"))
        elif n % 4 == 3 and source.random() < 0.3:
            made.append(device.write("withdraw", entity=room))
        else:
            made.append(device.write(entity=room, field="name", value=f"{device.name} {n}"))
    return made


def address_of(store: Store) -> str:
    """Return the address of a record's database; empty for a SQLite file."""
    return store.database.address if isinstance(store.database, Postgres) else ""

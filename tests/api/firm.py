"""A small firm with a server: people, phones, jobs; shared by the tests of the server."""

from __future__ import annotations

import asyncio
import io
import json
from collections.abc import Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import httpx
import msgspec
from argon2 import PasswordHasher
from litestar.testing import TestClient

from wainscot.api.app import make_app
from wainscot.api.desk import Desk
from wainscot.api.logs import logger
from wainscot.api.settings import Limits, Settings
from wainscot.record import Event, event, line_of
from wainscot.store import Accounts, Store

ORIGIN = "https://mill.local:8443"
ALONE = "http://127.0.0.1:8420"
PASSWORD = "seven mice in a wall"
CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
START = datetime(2025, 3, 14, 10, tzinfo=UTC)
NOW = START.isoformat()
PEOPLE = {"Ann": "crew", "Ben": "crew", "Lea": "lead", "Olga": "office"}


def run_alone(work: Coroutine[Any, Any, None]) -> None:
    """Run asynchronous work in a thread of its own: this one may hold a browser's loop."""
    with ThreadPoolExecutor(1) as thread:
        thread.submit(asyncio.run, work).result()


class Phone:
    """A device that writes events, each after the other."""

    def __init__(self, device: str, start: datetime = START) -> None:
        self.device = device
        self.start = start
        self.seq = 0
        self.prev = ""

    def write(self, job: str, kind: Any = "set", **parts: Any) -> Event:
        """Return the next event."""
        self.seq += 1
        at = (self.start + timedelta(seconds=self.seq)).isoformat()
        made = event(kind, job=job, device=self.device, seq=self.seq, prev=self.prev, at=at,
                     **parts)  # fmt: skip
        self.prev = made.id
        return made

    def title(self, job: str, text: str) -> Event:
        """Return an event that names a job."""
        return self.write(job, field="title", value=text)

    def add(self, job: str, key: str, **value: Any) -> Event:
        """Return an event that adds an entity."""
        return self.write(job, "add", entity=key, value=value)


class Firm:
    """Store, accounts, server and its clients; ``token`` holds a session by name."""

    def __init__(self, folder: Path, limits: Limits | None = None, login: bool = True) -> None:
        self.store = Store.create(folder / "record", device="office_1")
        self.accounts = Accounts(self.store.database, CHEAP)
        self.said = io.StringIO()
        self.time = START
        origins = (ORIGIN,) if login else (ALONE,)
        settings = Settings(origins=origins, login=login, limits=limits or Limits())
        self.desk = Desk(self.store, settings, self.accounts, logger(self.said),
                         clock=lambda: self.time)  # fmt: skip
        self.desk.files = {}  # whether the app was built changes nothing
        self.app = make_app(self.desk)
        self.base = origins[0]
        self.ids: dict[str, str] = {}
        self.phones: dict[str, Phone] = {}
        self.tokens: dict[str, str] = {}
        self.client: TestClient[Any]

    def hire(self) -> None:
        """Give everybody an account and a phone, and put Ann on ``job_a``."""
        for name, role in PEOPLE.items():
            self.ids[name] = self.accounts.add(name, role, PASSWORD, at=NOW).id  # type: ignore[arg-type]
            device, token = self.accounts.add_device(self.ids[name], "phone", at=NOW)
            self.phones[name], self.tokens[name] = Phone(device.id), token
        office = Phone("office_2", START - timedelta(hours=1))
        self.append(
            office.title("job_a", "Mill"), office.title("job_b", "Barn"),
            office.add("job_a", "crew_1", kind="crew", who=self.ids["Ann"]),
        )  # fmt: skip

    def append(self, *events: Event) -> None:
        """Write events past the server."""
        self.store.append(lines(*events), received=NOW)

    def ask(self, name: str, method: str, path: str, **more: Any) -> httpx.Response:
        """Send a request as somebody's phone; an empty name is nobody."""
        headers = {"authorization": f"Bearer {self.tokens[name]}"} if name else {}
        headers |= more.pop("headers", {})
        self.client.cookies.clear()  # a phone that has a token needs none
        return self.client.request(method, path, headers=headers, **more)

    def send(self, name: str, job: str, *events: Event, **more: Any) -> Any:
        """Send events as somebody's phone and return the receipt."""
        body = {"lines": [line_of(one).decode() for one in events], **more}
        got = self.ask(name, "POST", f"/api/jobs/{job}/events", json=body)
        assert got.status_code == 200, got.text
        return got.json()

    def log(self) -> list[dict[str, Any]]:
        """Return what was logged."""
        return [json.loads(line) for line in self.said.getvalue().splitlines()]


def lines(*events: Event) -> list[bytes]:
    """Return events as lines."""
    return [line_of(one) for one in events]


@contextmanager
def open_firm(folder: Path, **more: Any) -> Iterator[Firm]:
    """Give a firm whose server takes requests."""
    firm = Firm(folder, **more)
    if firm.desk.settings.login:
        firm.hire()
    with TestClient(firm.app, base_url=firm.base, raise_server_exceptions=False) as client:
        firm.client = client
        yield firm
    firm.desk.close()


def limited(**values: Any) -> Limits:
    """Return the usual limits but for some."""
    return msgspec.structs.replace(Limits(), **values)

"""One firm a test; nothing may call out."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from firm import Firm, open_firm


@pytest.fixture
def firm(tmp_path: Path) -> Iterator[Firm]:
    with open_firm(tmp_path) as made:
        yield made


@pytest.fixture(autouse=True)
def nothing_calls_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a stream socket reach this machine only; the server asks nobody."""
    connect = socket.socket.connect

    def guarded(self: socket.socket, address: Any) -> None:
        if self.family != socket.AF_UNIX and self.type & socket.SOCK_STREAM:
            assert address[0] in ("127.0.0.1", "localhost", "::1"), "the server called out"
        connect(self, address)

    monkeypatch.setattr(socket.socket, "connect", guarded)

"""Servers and workers in processes of their own, on one PostgreSQL and one folder."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path
from typing import Any

SILENCE = 2


class Fleet:
    """What was started; :meth:`stop` ends it, whatever happened."""

    def __init__(self, folder: Path, address: str) -> None:
        self.folder = folder
        self._env = {**os.environ, "WAINSCOT_DATABASE": address, "WAINSCOT_RECORD": str(folder)}
        self._started: list[subprocess.Popen[str]] = []

    def _start(self, says: str, *words: str) -> subprocess.Popen[str]:
        with (self.folder.parent / "said").open("a") as said:
            made = subprocess.Popen(
                [sys.executable, "-m", "wainscot", *words], env=self._env, text=True,
                stdout=subprocess.PIPE, stderr=said,
            )  # fmt: skip
        self._started.append(made)
        assert made.stdout is not None
        line = made.stdout.readline()
        assert says in line, (self.folder.parent / "said").read_text()
        return made

    def server(self) -> str:
        """Start a server and return its address."""
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        self._start("wainscot serves", "serve", "--port", str(port))
        return f"http://127.0.0.1:{port}"

    def worker(self, *more: str) -> Any:
        """Start a worker and return its process."""
        return self._start("wainscot works", "worker", "--silence", str(SILENCE), *more)

    def stop(self) -> None:
        """End everything that still runs."""
        for one in self._started:
            one.kill()
        for one in self._started:
            one.communicate()

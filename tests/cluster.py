"""A PostgreSQL of the tests' own, in a folder that goes with them.

It listens at a socket in its folder only.  Where the tests run as root it runs as ``nobody``, for
PostgreSQL refuses root.
"""

from __future__ import annotations

import itertools
import os
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any

import psycopg

_SETTINGS = (
    "listen_addresses=''", "shared_buffers=16MB", "max_wal_size=64MB",
    "autovacuum=off", "max_connections=60",
)  # fmt: skip


def programs() -> Path | None:
    """Return the folder of ``initdb`` and ``pg_ctl`` of the newest PostgreSQL, if there is one."""
    found = sorted(
        Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda one: int(one.parts[-3])
    )
    on_path = shutil.which("initdb")
    return found[-1].parent if found else Path(on_path).parent if on_path else None


class Cluster:
    """A server with as many databases as are asked for.

    Parameters
    ----------
    programs : Path
        Folder of ``initdb`` and ``pg_ctl``.
    fsync : bool
        Whether it flushes to the disk; tests that cut no power need not.
    """

    def __init__(self, programs: Path, *, fsync: bool = False) -> None:
        self._programs = programs
        self._numbers = itertools.count(1)
        self._root = hasattr(os, "getuid") and os.getuid() == 0
        self.folder = Path(tempfile.mkdtemp(prefix="wainscot-pg-"))
        if self._root:
            shutil.chown(self.folder, "nobody")
        try:
            self._run("initdb", "-D", "data", "-U", "wainscot", "-A", "trust", "-E", "UTF8",
                      "--locale=C", "-N")  # fmt: skip
            with (self.folder / "data/postgresql.conf").open("a") as settings:
                flush = f"fsync={'on' if fsync else 'off'}"
                lines = (*_SETTINGS, flush, f"unix_socket_directories='{self.folder}'")
                settings.writelines(f"{one}\n" for one in lines)
            self._run("pg_ctl", "-D", "data", "-w", "-l", "log", "start")
        except BaseException:
            shutil.rmtree(self.folder)
            raise

    def _run(self, program: str, *arguments: str) -> None:
        user: dict[str, Any] = {"user": "nobody", "extra_groups": []} if self._root else {}
        done = subprocess.run(
            [str(self._programs / program), *arguments], cwd=self.folder, check=False,
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, **user,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr

    def address(self, name: str) -> str:
        """Return the address of a database."""
        return f"postgresql://wainscot@/{name}?host={self.folder}"

    def new(self, options: str = "") -> str:
        """Make an empty database and return its address."""
        name = f"record_{next(self._numbers)}"
        self.tell(f"CREATE DATABASE {name} {options}")
        return self.address(name)

    def tell(self, statement: str, address: str = "") -> list[tuple[Any, ...]]:
        """Run one statement past the program, and return its rows."""
        with psycopg.connect(address or self.address("postgres"), autocommit=True) as connection:
            cursor = connection.execute(statement.encode())
            return cursor.fetchall() if cursor.description else []

    def stop(self) -> None:
        """End the server and take its folder away."""
        self._run("pg_ctl", "-D", "data", "-m", "immediate", "stop")
        shutil.rmtree(self.folder)

"""Where the rows of a record lie: in a SQLite file, or in a PostgreSQL that several hosts share.

What each needs for itself stands in :mod:`wainscot.store.sqlite` and
:mod:`wainscot.store.postgres`; everything else is written in SQL that both know.  Text is ordered
by its bytes in both, so that the same events are exported to the same bytes.

Limits: one writer at a time in both; the order of arrival is one order without a gap.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from types import ModuleType
from typing import Literal

import msgspec
from sqlalchemy import Connection, Engine

WAIT = 30
"""How long a writer waits for another. [s]"""


class Finding(msgspec.Struct, frozen=True):
    """One thing that was looked at: ``good``, ``note`` or ``bad``, what is, and what to do."""

    what: str
    state: Literal["good", "note", "bad"]
    told: str
    cure: str = ""


class Database(ABC):
    """The rows of one record.

    ``own_file`` says whether they lie in a file of this machine; ``library`` is the module of
    SQLite that reads copies.
    """

    own_file: bool
    library: ModuleType
    engine: Engine

    @abstractmethod
    def reading(self) -> AbstractContextManager[Connection]:
        """Give a connection that sees one state of the record throughout."""

    @abstractmethod
    def writing(self) -> AbstractContextManager[Connection]:
        """Give a connection that writes alone; when this ends without error, all is on the disk.

        Raises
        ------
        DiskFullError
            If there was no room.
        StoreError
            If the database refused.
        """

    @abstractmethod
    def copy(self, target: Path) -> None:
        """Write one state of the record to a SQLite file that is not there yet.

        Parameters
        ----------
        target : Path
            One file without a journal.
        """

    @abstractmethod
    def findings(self) -> Iterator[Finding]:
        """Give what is well and what is not with the database itself."""

    @abstractmethod
    def write_over(self) -> None:
        """Leave nothing in the database's files of rows that were taken out or changed."""

    def close(self) -> None:
        """Close every connection."""
        self.engine.dispose()

"""Where things lie in the folder of a record."""

from __future__ import annotations

from pathlib import Path

import msgspec


class Layout(msgspec.Struct, frozen=True):
    """The folder of a record and what lies in it."""

    folder: Path

    @property
    def database(self) -> Path:
        """The SQLite file."""
        return self.folder / "record.sqlite"

    @property
    def moved(self) -> Path:
        """The SQLite file of a record that went to PostgreSQL."""
        return self.folder / "record.moved.sqlite"

    @property
    def blobs(self) -> Path:
        """Photos by their hash."""
        return self.folder / "blobs"

    @property
    def backups(self) -> Path:
        """Backups, unless they are put elsewhere."""
        return self.folder / "backups"

    @property
    def key(self) -> Path:
        """The private key that signs heads; in no backup."""
        return self.folder / "head-key.pem"

    @property
    def device_key(self) -> Path:
        """The private key that signs the events which this machine writes; in no backup."""
        return self.folder / "device-key.pem"

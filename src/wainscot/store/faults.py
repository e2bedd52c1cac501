"""What can go wrong with a record on disk, told in words that say what to do."""

from __future__ import annotations

from wainscot.errors import WainscotError


class StoreError(WainscotError):
    """The record on disk cannot do what was asked; nothing was half done."""


class NoRecordError(StoreError):
    """There is no record where one was looked for."""


class DiskFullError(StoreError):
    """There is no room left; nothing of the write was kept, what was there can be read."""


class DamagedError(StoreError):
    """Bytes are not those that were written."""


class PartError(StoreError):
    """A part of a photo does not follow on what is held; ``held`` says where to go on."""

    def __init__(self, held: int) -> None:
        self.held = held
        super().__init__(f"{held} bytes are held; send on from there")

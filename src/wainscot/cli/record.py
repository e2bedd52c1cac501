"""The record that a command works with: where it lies, opened and closed again."""

from __future__ import annotations

import datetime
import os
import secrets
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli.frame import Frame
from wainscot.cli.options import FOLDER

if TYPE_CHECKING:
    from wainscot.store import Finding, Store

DATABASE = "WAINSCOT_DATABASE"
"""Setting that names a PostgreSQL database; without it the record is a SQLite file."""

BUCKET = "WAINSCOT_BLOBS"
"""Setting that names an S3-like store for photos; without it they lie in the record's folder."""

with_record = click.option(
    "--record", type=FOLDER, envvar="WAINSCOT_RECORD",
    help="Folder of the record; else WAINSCOT_RECORD, else the user's own data folder.",
)  # fmt: skip


@contextmanager
def opened_record(record: Path | None, *, make: bool = False) -> Iterator[Store]:
    """Give the record that is there, and close it afterwards.

    Parameters
    ----------
    record : Path or None
        Its folder as it was named.
    make : bool
        Whether one is made where none is there.
    """
    from wainscot.store import NoRecordError, Store

    folder = folder_of(record)
    try:
        store = Store.open(folder, now=right_now(), address=address(), bucket=bucket())
    except NoRecordError:
        if not make:
            raise
        store = Store.create(folder, device=new_device(), address=address(), bucket=bucket())
        Frame.of_stderr().line(f"made a record in {folder}")
    if store.migrated_after is not None:
        Frame.of_stderr().line(
            f"tables brought up to date; backup before: {store.migrated_after.path}"
        )
    try:
        yield store
    finally:
        store.close()


def say_findings(found: Iterable[Finding]) -> None:
    """Write what was found of a record, a line or more each, with what to do about it."""
    out = Frame.of_stdout()
    for one in found:
        cure = f"; {one.cure}" if one.cure else ""
        out.paragraph(f"{one.told}{cure}", f"{one.state:<5} {one.what:<12} ")


def folder_of(record: Path | None) -> Path:
    """Return the folder of the record: as it was named, else the user's own."""
    import platformdirs

    return record or Path(platformdirs.user_data_dir("wainscot", appauthor=False)) / "record"


def bucket() -> str:
    """Return where photos lie: an S3-like store, or the record's folder where this is empty."""
    return os.environ.get(BUCKET, "")


def address() -> str:
    """Return where the rows lie: a PostgreSQL database, or a SQLite file where this is empty."""
    return os.environ.get(DATABASE, "")


def new_device() -> str:
    """Return an id under which no device has written yet."""
    return f"office-{secrets.token_hex(8)}"


def right_now() -> str:
    """Return the time of this machine, ISO 8601 with offset."""
    return datetime.datetime.now().astimezone().isoformat(timespec="seconds")

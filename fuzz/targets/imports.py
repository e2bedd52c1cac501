"""What ``wainscot import`` reads: a job file, events as lines, everything."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import cache
from pathlib import Path

from fuzz.given import NOW, few, file_of, lines, named, seeds_of_record
from wainscot import job as jobs
from wainscot.errors import InputError, WainscotError
from wainscot.record import fold
from wainscot.store import Store, import_everything


def seeds() -> list[bytes]:
    """Return a job file, events, and the members of a file with everything."""
    job = named("job", jobs.write(fold(few(), "job_a")).encode("utf-8"))
    return [job, named("lines", lines(*few())), *seeds_of_record()]


def one(data: bytes) -> None:
    """Import it into a record that holds a job; what is refused leaves the record as it was."""
    kept = _kept()
    store = kept.opened()
    before, untouched = store.counts(), False
    try:
        _read_in(store, kept.folder / "given.zip", data)
    except WainscotError:
        untouched = store.counts() == before
        assert untouched
    else:
        for each in store.jobs():
            jobs.write(store.job(each)).encode("utf-8")
    finally:
        if not untouched:
            kept.done()


def _read_in(store: Store, file: Path, data: bytes) -> None:
    name, _, content = data.partition(b"\n")
    if name == b"job":
        job = jobs.read(content)
        if faults := jobs.faults(job):
            raise InputError(faults)
        store.save(job, at=NOW, writer="file-1")
    elif name == b"lines":
        store.append([line for line in content.splitlines() if line.strip()], received=NOW)
    else:
        file.write_bytes(file_of(data))
        import_everything(store, file, received=NOW)


class _Kept:
    """A record that holds one event; a new one as soon as something was let in."""

    def __init__(self) -> None:
        self.place = tempfile.TemporaryDirectory(prefix="wainscot-")
        self.folder = Path(self.place.name)
        whole = self.folder / "whole"
        store = Store.create(whole, device="office")
        store.append(lines(few()[0]).splitlines(), received=NOW)
        store.close()
        self.store: Store | None = None
        atexit.register(self._end)

    def opened(self) -> Store:
        """Return the record as it was at first."""
        if self.store is None:
            shutil.copytree(self.folder / "whole", self.folder / "record")
            self.store = Store.open(self.folder / "record", now=NOW)
        return self.store

    def _end(self) -> None:
        self.done()
        self.place.cleanup()

    def done(self) -> None:
        """Throw away a record that something was let into."""
        if self.store is not None:
            self.store.close()
            self.store = None
            shutil.rmtree(self.folder / "record")


@cache
def _kept() -> _Kept:
    return _Kept()

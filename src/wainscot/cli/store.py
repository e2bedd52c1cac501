"""The commands that keep the record: import, export, backup, restore, doctor, status."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli.files import write_text
from wainscot.cli.frame import FAILED, Frame, guarded, print_json
from wainscot.cli.options import FOLDER, with_json
from wainscot.cli.record import (
    DATABASE,
    address,
    bucket,
    folder_of,
    new_device,
    opened_record,
    right_now,
    say_findings,
    with_record,
)

if TYPE_CHECKING:
    from wainscot.job import Job
    from wainscot.record import Event
    from wainscot.store import Receipt, Store

_IN = click.Path(exists=True, dir_okay=False, readable=True, path_type=Path)
_OUT = click.Path(dir_okay=False, path_type=Path)


@click.command(
    "import",
    short_help="Take a job file, events or everything into the record.",
    epilog="Example: wainscot import mill.json",
)
@click.argument("file", type=_IN)
@click.option("--replace", is_flag=True,
              help="The file is the whole truth: what it leaves out is withdrawn.")  # fmt: skip
@with_record
@guarded
def import_(file: Path, replace: bool, record: Path | None) -> None:
    """Take into the record what FILE changes.

    FILE is an edited job file, events as JSON lines (.jsonl), or everything (.zip) as export
    writes them. Beside a job file lie the events that it was made from; what others wrote in the
    meantime stays, and where both changed one thing the job shows a conflict.
    """
    with opened_record(record, make=True) as store:
        if file.suffix == ".zip":
            from wainscot.store import import_everything

            brought = import_everything(store, file, received=right_now())
            _told(brought.receipt, f", {brought.blobs} photos")
        elif file.suffix == ".jsonl":
            _told(store.append(_lines(file), received=right_now()))
        else:
            _import_job(store, file, replace)


def _import_job(store: Store, file: Path, replace: bool) -> None:
    import secrets

    from wainscot import job as jobs
    from wainscot.errors import InputError

    job = jobs.read(file.read_bytes())
    if faults := jobs.faults(job):
        raise InputError(faults)
    base = None if replace else _base(store, file, job)
    made = store.save(job, at=right_now(), writer=f"file-{secrets.token_hex(8)}", base=base)
    prior = store.events(job.id) if base is None else base
    _write_lines(_beside(file), [*prior, *(one for one in made if one not in prior)])
    Frame.of_stdout().line(f"{job.id}: {len(made)} events written")
    if conflicts := store.job(job.id).conflicts:
        Frame.of_stderr().line(
            f"{len(conflicts)} conflicts: export the job, settle them in the file, import it"
        )


def _base(store: Store, file: Path, job: Job) -> list[Event] | None:
    """Return the events that a job file was made from, all of them now in the record."""
    from wainscot.record import event_of
    from wainscot.store import StoreError

    beside = _beside(file)
    if beside.is_file():
        lines = _lines(beside)
        if refused := store.append(lines, received=right_now()).refused:
            raise StoreError(f"{beside}: a line is no event ({refused[0].reason})")
        events = [event_of(json.loads(line)) for line in lines]
        return [one for one in events if one.job == job.id]
    if not store.events(job.id):
        return None
    raise StoreError(
        f"{file} is not told apart from what others wrote since: {beside.name} is not beside it; "
        "export the job and edit that, or import with --replace"
    )


@click.command(
    short_help="Write a job, or everything, to a file.",
    epilog="Example: wainscot export mill.json --job job_mill",
)
@click.argument("file", type=_OUT)
@click.option("--job", "job_id", default="", help="Id of the job; not needed where there is one.")
@click.option("--everything", is_flag=True, help="Events, photos, all, as one .zip.")
@click.option("--replace", is_flag=True, help="Write over a file that is there.")
@with_record
@guarded
def export(file: Path, job_id: str, everything: bool, replace: bool, record: Path | None) -> None:
    """Write a job as it stands to FILE, and beside it its events as JSON lines."""
    from wainscot import job as jobs
    from wainscot.store import export_everything

    targets = [file] if everything else [file, _beside(file)]
    for target in targets:
        if target.exists() and not replace:
            raise click.UsageError(f"{target} is there already; another name, or --replace")
    with opened_record(record) as store:
        if everything:
            export_everything(store, file, now=right_now())
        else:
            chosen = _chosen(store, job_id)
            events = store.events(chosen)
            _write_lines(targets[1], events)
            write_text(str(file), jobs.write(store.job(chosen)))
    Frame.of_stderr().line(f"wrote {' and '.join(str(one) for one in targets)}")


def _chosen(store: Store, job_id: str) -> str:
    found = store.jobs()
    if not found:
        raise click.UsageError("the record holds no job yet; import one")
    if not job_id and len(found) == 1:
        return found[0]
    if job_id not in found:
        raise click.UsageError(f"name one with --job: {', '.join(found)}")
    return job_id


@click.command(
    short_help="Take a backup and read it back.",
    epilog="Example: wainscot backup --to /media/stick/wainscot",
)
@click.option("--to", type=FOLDER, help="Folder; best on another disk.")
@with_record
@guarded
def backup(to: Path | None, record: Path | None) -> None:
    """Take a backup of the record, read it back, and say where it lies."""
    from wainscot.store import take_and_rotate

    with opened_record(record) as store:
        taken, rotated = take_and_rotate(store, to or store.layout.backups, now=right_now())
    out = Frame.of_stdout()
    for path in rotated.removed:
        out.line(f"taken away, for it held what was erased since: {path}")
    out.line(f"{taken.path}")
    out.line(f"{taken.events} events, {taken.blobs} photos, read back; SHA-256 {taken.digest}")


@click.command(
    short_help="Put a backup back, into a folder that is not there.",
    epilog="Example: wainscot restore wainscot-20250314T093000Z-1.zip --record restored",
)
@click.argument("file", type=_IN)
@with_record
@guarded
def restore(file: Path, record: Path | None) -> None:
    """Put a backup back as the record; a record that is there is never written over."""
    from wainscot.store import restore as put_back

    folder = folder_of(record)
    store = put_back(
        file, folder, device=new_device(), now=right_now(), address=address(), bucket=bucket()
    )
    counts = store.counts()
    store.close()
    Frame.of_stdout().line(f"{counts.events} events, {counts.blobs} photos restored to {folder}")


@click.command(
    short_help="Say whether the record is in good order.",
    epilog="Example: wainscot doctor --scrub",
)
@click.option("--scrub", is_flag=True, help="Read every photo again.")
@with_json
@with_record
@guarded
def doctor(scrub: bool, as_json: bool, record: Path | None) -> None:
    """Look at journal, file, file system, space, clock, chains, photos and backups.

    The exit code is 1 where something is bad.
    """

    from wainscot.store import doctor as look

    with opened_record(record) as store:
        found = look(store, now=right_now(), scrub=scrub)
    if as_json:
        print_json(found)
    else:
        say_findings(found)
    if any(one.state == "bad" for one in found):
        raise SystemExit(FAILED)


@click.command(
    short_help="Say what is held, and what no backup holds yet.",
    epilog="Example: wainscot status",
)
@with_json
@with_record
@guarded
def status(as_json: bool, record: Path | None) -> None:
    """Say how much the record holds, the last backup that can be restored, and what came after."""

    from wainscot.store import status as look

    with opened_record(record) as store:
        counts = store.counts()
        found = look(store.database, store.layout.backups)
    if as_json:
        print_json({"counts": counts, "backup": found})
        return
    out = Frame.of_stdout()
    out.line(f"{counts.events} events of {counts.jobs} jobs from {counts.devices} devices, "
             f"{counts.blobs} photos, {counts.quarantined} lines put aside")  # fmt: skip
    if found.last is None:
        out.line("no backup can be restored; take one: wainscot backup")
    else:
        out.line(f"last backup that can be restored: {found.last.path}, {found.last.taken}")
    if found.since:
        out.line(f"{found.events_after} events and {found.blobs_after} photos since {found.since} "
                 "would be lost with this disk")  # fmt: skip
    for path in found.damaged:
        out.line(f"damaged: {path}")
    for path in found.gone:
        out.line(f"not there: {path}")


@click.command(
    short_help="Move the record from its SQLite file into PostgreSQL.",
    epilog="Example: WAINSCOT_DATABASE=postgresql://wainscot@db/wainscot wainscot move-in",
)
@with_record
@guarded
def move_in(record: Path | None) -> None:
    """Move the record of a folder into the empty PostgreSQL database that WAINSCOT_DATABASE names.

    Stop the server first. Every row is compared before it counts; photos and keys stay in the
    folder, and the SQLite file is set aside. To go back: restore a backup without the setting.
    Where WAINSCOT_BLOBS names a store, the photos go there too.
    """
    from wainscot.store import BucketBlobs, Store
    from wainscot.store import move_in as move

    if not address():
        raise click.UsageError(f"name the database in {DATABASE}: postgresql://user@host/name")
    told = move(Store.open(folder_of(record), now=right_now()), address())
    out = Frame.of_stdout()
    out.line(f"{told.events} events, {told.blobs} photos, {told.heads} heads, {told.accounts} "
             "accounts moved; every row was compared")  # fmt: skip
    with opened_record(record) as store:
        if isinstance(store.blobs, BucketBlobs):
            out.line(f"{store.blobs.move_all()} photos put into the store")
    out.line(f"SHA-256 of the events as they are exported: {told.export}")


COMMANDS = (import_, export, backup, restore, doctor, status, move_in)


def _beside(file: Path) -> Path:
    return file.with_suffix(".events.jsonl")


def _lines(file: Path) -> list[bytes]:
    return [line for line in file.read_bytes().splitlines() if line.strip()]


def _write_lines(file: Path, events: tuple[Event, ...] | list[Event]) -> None:
    from wainscot.record import sent_of

    write_text(str(file), "".join(sent_of(one).decode() + "\n" for one in events))


def _told(receipt: Receipt, more: str = "") -> None:
    Frame.of_stdout().line(
        f"{len(receipt.added)} events new, {len(receipt.known)} known, "
        f"{len(receipt.refused)} put aside{more}"
    )
    for one in receipt.refused:
        Frame.of_stderr().line(f"put aside: {one.reason}")

"""The command that forgets a person."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli.frame import FAILED, Frame, guarded
from wainscot.cli.record import opened_record, right_now, with_record

if TYPE_CHECKING:
    from wainscot.store import Found, Rotated


@click.command(
    short_help="Forget a person in a job, for good.",
    epilog='Example: wainscot erase job_mill "Ana Ruiz" --also "Mrs Ruiz"',
)
@click.argument("job")
@click.argument("person")
@click.option("--also", multiple=True,
              help="Another way in which the person is written: nickname, telephone number. "
                   "May stand several times.")  # fmt: skip
@click.option("--backups-now", is_flag=True,
              help="Take away backups from before at once, not after 30 days.")  # fmt: skip
@click.option("--yes", is_flag=True, help="Do not ask; for scripts.")
@with_record
@guarded
def erase(
    job: str, person: str, also: tuple[str, ...], backups_now: bool, yes: bool, record: Path | None
) -> None:
    """Take what names PERSON out of JOB: texts, signatures, photos, papers, lines put aside.

    The chain and every head stay good. Phones do the same when they next sync. Then a backup is
    taken; those from before go after 30 days. Exit code 1 where something cannot be erased.
    """
    from wainscot.store import erase as take_out
    from wainscot.store import look, take_and_rotate

    with opened_record(record) as store:
        found = look(store, job, [person, *also])
        _say(found)
        if not yes and click.prompt("This cannot be undone. Type the name again") != person:
            raise click.UsageError("another name was typed; nothing was erased")
        now = right_now()
        take_out(store, found, now=now)
        taken, rotated = take_and_rotate(
            store, store.layout.backups, now=right_now(), at_once=backups_now
        )
    out = Frame.of_stdout()
    out.line(f"erased; backup without it: {taken.path}")
    _say_rotated(rotated)
    out.line("papers, packages and exports that left this record are out of its reach")
    if found.left:
        raise SystemExit(FAILED)


def _say(found: Found) -> None:
    out = Frame.of_stdout()
    out.line(f"{len(found.texts)} texts, {len(found.photos)} photos, {len(found.papers)} files of "
             f"papers, {len(found.aside)} lines put aside")  # fmt: skip
    for entity, field in found.places:
        out.line(f"  {entity or 'job'}.{field}")
    for one in found.left:
        where = f"{one.entity or 'job'}.{one.field}".rstrip(".")
        out.line(f"CANNOT be erased: {where}, number {one.seq} of {one.device}: it stands in what "
                 f"event {one.id[:12]} hashes")  # fmt: skip


def _say_rotated(rotated: Rotated) -> None:
    from wainscot.store.rotation import DAYS

    out = Frame.of_stdout()
    for path in rotated.removed:
        out.line(f"taken away: {path}")
    for path in rotated.staying:
        out.line(f"still holds it, until a backup is taken {DAYS} days from now: {path}")
    for path in rotated.unreached:
        out.line(f"not within reach, see to it yourself: {path}")


COMMANDS = (erase,)

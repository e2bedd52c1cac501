"""``wainscot label`` and ``wainscot applied``: what the label says, and how long it stayed wet."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_job
from wainscot.cli.frame import Frame, guarded, print_json
from wainscot.cli.options import ON_DISK, READ, with_json, with_out
from wainscot.cli.reading import content_of, refuse, sound_job

if TYPE_CHECKING:
    from wainscot.cleaning.applied import Applied


@click.command(
    short_help="Type the label of a product into the job; it wins over every default.",
    epilog='Example: wainscot label mill.json product.toml --by "A. Tester"',
)
@click.argument("file", type=ON_DISK)
@click.argument("label", type=READ)
@click.option("--by", default="", help="Who typed it.")
@click.option("--at", default="", help="When, such as 2026-05-20.")
@with_out
@targets.force_option
@guarded
def label(file: str, label: str, by: str, at: str, out: str | None, force: bool) -> None:
    """Write a label (TOML) into the job: registration, contact time, dilution, surfaces.

    A label that lacks one of them is refused, for nothing can be planned on it.
    """
    from wainscot.cleaning.applied import labelled

    targets.ask([out], force=force)
    job, key = labelled(
        sound_job(content_of(file)), content_of(label).decode("utf-8", "replace"), by=by, at=at
    )
    refuse(job)
    target = write_job(job, file, out)
    if target != "-":
        Frame.of_stderr().line(f"label {key} is in {target}")


@click.command(
    short_help="Say whether every application stayed wet long enough, and what the crew wrote.",
    epilog="Example: wainscot applied mill.json",
)
@click.argument("file", type=READ)
@click.option("--now", type=click.DateTime(["%Y-%m-%dT%H:%M:%S%z"]),
              help="What is still wet is counted up to here; now if left out.")  # fmt: skip
@with_json
@guarded
def applied(file: str, now: datetime | None, as_json: bool) -> None:
    """Judge the applications of a job by their labels; one that falls short is told as failed."""

    from wainscot.cleaning.applied import applied as judged
    from wainscot.cleaning.crew import ALARMS_NOBODY, CleaningLog, crew_log

    at = now or datetime.now().astimezone()
    job = sound_job(content_of(file))
    found, crew = judged(job, at), crew_log(job, at)
    if as_json:
        print_json(CleaningLog(found, crew))
        return
    out = Frame.of_stdout()
    if not found:
        out.paragraph(
            'No application is in the job: log when a place was first wet (kind "application"), '
            'wetted again, seen dry, ended (kind "contact").'
        )
    for one in found:
        out.paragraph(_line(one), "", "  ")
        if one.doubt:
            out.paragraph(f"Doubt: {one.doubt}.", "  ")
    for member in crew:
        for text in member.words:
            out.paragraph(f"{text}.", "", "  ")
    if crew:
        out.paragraph(ALARMS_NOBODY, "", "  ")


def _line(one: Applied) -> str:
    return f"{one.place}, started {one.started} ({one.id}): {one.words}."


COMMANDS = (label, applied)

"""``wainscot new``, ``validate`` and ``voids``: a job file before anything is calculated."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_text
from wainscot.cli.frame import Frame, guarded
from wainscot.cli.options import READ, WRITE, with_json, with_picture_date, with_theme
from wainscot.cli.reading import content_of, refuse, sound_job

if TYPE_CHECKING:
    from wainscot.picture.tokens import ThemeName


@click.command(
    short_help="Write an empty job file.",
    epilog='Example: wainscot new mill.json --title "Mill Cottage" --units ft-in',
)
@click.argument("file", type=WRITE)
@click.option("--title", default="", help="Name of the job.")
@click.option("--units", type=click.Choice(["m", "ft-in"]), default="m", show_default=True)
@guarded
def new(file: str, title: str, units: str) -> None:
    """Write an empty job file; an existing file is never overwritten."""
    import secrets

    from wainscot import job as jobs

    if file != "-" and Path(file).exists():
        raise click.UsageError(f"{file} exists already; choose another name")
    made = jobs.new(title, "ft-in" if units == "ft-in" else "m", seed=secrets.randbits(63))
    write_text(file, jobs.write(made))
    if file != "-":
        Frame.of_stderr().line(f"wrote {file}; next: add a storey and a room to its entities")


@click.command(
    short_help="Say what is wrong with a job file, and the cure.",
    epilog="Example: wainscot validate mill.json --fix",
)
@click.argument("file", type=READ)
@click.option("--fix", is_flag=True, help="Give missing ids, keep labels, mend plain slips.")
@guarded
def validate(file: str, fix: bool) -> None:
    """Say everything that is wrong with a job file, and what to do about it."""
    import secrets

    from wainscot import job as jobs
    from wainscot.cli.summary import sound
    from wainscot.errors import InputError
    from wainscot.sealing import terms_faults
    from wainscot.voids import keep_labels

    job = jobs.read(content_of(file))
    done: list[str] = []
    if fix:
        job, done = jobs.fix(job, secrets.randbits(63))
    refuse(job)
    if unmet := terms_faults(job):
        raise InputError(unmet)
    if fix:
        job, kept = keep_labels(job)
        done += [f"labels of {kept} voids are kept from now on"] if kept else []
    if fix and (done or file == "-"):
        write_text(file, jobs.write(job))
    messages = Frame.of_stderr()
    for line in done:
        messages.line(line)
    out = messages if fix and file == "-" else Frame.of_stdout()
    out.line(sound(job))


@click.command(epilog="Example: wainscot voids mill.json --svg mill.svg")
@click.argument("file", type=READ)
@click.option("--svg", type=WRITE, help="Draw the plan with its hidden voids to this file.")
@targets.force_option
@with_json
@with_theme
@with_picture_date
@guarded
def voids(
    file: str, svg: str | None, force: bool, as_json: bool, theme: ThemeName, date: str
) -> None:
    """List the hidden voids of a plan; nothing is calculated yet."""
    from wainscot import void_list
    from wainscot.cli import void_table
    from wainscot.walk import survey

    targets.one_stdout(svg, as_json)
    targets.ask([svg], inputs=[file], force=force)
    surveyed = survey(sound_job(content_of(file)))
    if svg:
        from wainscot.picture import compose, draw

        sheet = compose(surveyed.job, surveyed.plan, surveyed.graph, surveyed.evidence, date=date)
        write_text(svg, draw(sheet, theme))
    if as_json:
        click.echo(void_list.as_json(surveyed), nl=False)
    elif svg != "-":
        void_table.show(surveyed, Frame.of_stdout())


COMMANDS = (new, validate, voids)

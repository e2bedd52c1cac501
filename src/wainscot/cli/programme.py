"""``wainscot programme``: what happens which day, who comes, which rooms are out of use."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_text
from wainscot.cli.frame import Frame, guarded, print_json
from wainscot.cli.options import (
    READ,
    with_all,
    with_draws,
    with_json,
    with_rates,
    with_seed,
    with_theme,
)
from wainscot.cli.reading import content_of, sound_job

if TYPE_CHECKING:
    from wainscot.picture.tokens import ThemeName

_OUT_FILE = click.Path(dir_okay=False, writable=True)


@click.command(
    "programme",
    short_help="What happens which day, who comes, what stops it.",
    epilog="Example: wainscot programme mill.json --start 2027-01-11 --svg days.svg",
)
@click.argument("file", type=READ)
@click.option("--start", default="", metavar="DATE",
              help="First day of work, 2027-01-11; else that after the last entry.")  # fmt: skip
@click.option("--ics", type=_OUT_FILE, help="Write a calendar (iCalendar) to this file.")
@click.option("--zone", default="", metavar="ZONE",
              help="Time zone of the site for the calendar, such as America/Chicago.")  # fmt: skip
@click.option("--svg", type=_OUT_FILE, help="Draw the days as bars to this file.")
@with_theme
@targets.force_option
@with_rates("The firm's rates (TOML): team, hours, days off.")
@with_all("Every day, not the first few.")
@with_json
@with_seed
@with_draws(64)
@guarded
def programme(
    file: str, start: str, ics: str | None, zone: str, svg: str | None, theme: ThemeName,
    force: bool, rates: str | None, everything: bool, as_json: bool, seed: int, draws: int,
) -> None:  # fmt: skip
    """Lay all that is planned on days, with the people there are, and say how sure its end is.

    A hold point stops what comes after it until the named person has signed.
    """

    from wainscot import programme as step
    from wainscot.cli.whole import book_of, walked

    if start and not _is_date(start):
        raise click.UsageError(f"{start} is no date; write it as 2027-01-11")
    targets.ask([ics, svg], inputs=[file, rates], force=force)
    if ics:  # before anybody waits for a calendar that cannot be written
        step.site_zone(zone or book_of(rates).team.zone)
    job = sound_job(content_of(file))
    found = walked(job, seed, draws, rates, start=start).programme
    if found is None:
        raise click.UsageError("nothing is drawn yet, so there is nothing to plan; draw a room")
    if ics:
        write_text(ics, step.calendar(found, job.id, title=job.title, zone=zone))
    if svg:
        from wainscot.picture.bars import draw_bars

        write_text(svg, draw_bars(found, title=job.title or job.id, theme=theme))
    if as_json:
        print_json(found)
        return
    out = Frame.of_stdout()
    for line in step.lines(found, 10**6 if everything else step.MOST_DAYS):
        indent = " " * (len(line) - len(line.lstrip()))
        if line:
            out.paragraph(line.lstrip(), indent, f"{indent}  ")
        else:
            out.line()


def _is_date(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False

"""``wainscot diagnose`` and ``checks``: where they are, and what to look at next."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_text
from wainscot.cli.frame import Frame, guarded, print_json, progress_bar
from wainscot.cli.options import (
    READ,
    WRITE,
    with_all,
    with_draws,
    with_json,
    with_picture_date,
    with_rates,
    with_seed,
    with_theme,
)
from wainscot.cli.reading import content_of, sound_job
from wainscot.cli.whole import book_of, picture_of, say
from wainscot.cli.whole import walked as whole_walk

if TYPE_CHECKING:
    from wainscot.job import Job
    from wainscot.picture.tokens import ThemeName

_shows = click.option(
    "--shows", type=click.Choice(["soiled", "in-use", "nest", "entries"]), default="soiled",
    show_default=True, help="What the picture's fill shows.",
)  # fmt: skip


@click.command(
    short_help="Say where they are, how they came in, what to check.",
    epilog="Example: wainscot diagnose mill.json --svg mill.svg --shows in-use",
)
@click.argument("file", type=READ)
@click.option("--svg", type=WRITE, help="Draw the answer on the plan to this file.")
@targets.force_option
@with_json
@with_all()
@click.option(
    "--sensitivity",
    "try_rates",
    is_flag=True,
    help="Instead: halve and double each judged rate, and say what would change.",
)
@_shows
@with_theme
@with_picture_date
@with_rates()
@with_seed
@with_draws()
@guarded
def diagnose(
    file: str, svg: str | None, force: bool, as_json: bool, everything: bool, try_rates: bool,
    shows: str, theme: ThemeName, date: str, rates: str | None, seed: int, draws: int,
) -> None:  # fmt: skip
    """Say where they are or were, how they came in, and what to check first."""
    targets.one_stdout(svg, as_json)
    if try_rates and svg:
        raise click.UsageError("--sensitivity has no picture; leave --svg out")
    targets.ask([svg], inputs=[file, rates], force=force)
    job = sound_job(content_of(file))
    if try_rates:
        _say_sensitivity(job, seed, draws, rates, as_json=as_json, everything=everything)
        return
    walked = whole_walk(job, seed, draws, rates, closing=False)
    if svg:
        write_text(svg, picture_of(walked, shows, theme, date))
    if as_json:
        print_json(walked.diagnosis)
    elif svg != "-":
        say(job, walked, everything)


@click.command(
    short_help="Say what to look at next, the best first.",
    epilog="Example: wainscot checks mill.json -n 3",
)
@click.argument("file", type=READ)
@click.option("-n", "most", type=click.IntRange(1), help="How many; 6 as words, all as JSON.")
@with_json
@with_rates()
@with_seed
@with_draws()
@guarded
def checks(
    file: str, most: int | None, as_json: bool, rates: str | None, seed: int, draws: int
) -> None:
    """Rank the ways to look by what they are worth beyond their cost, or say: time to open."""
    import msgspec

    from wainscot.cli import checks_text

    ranked = whole_walk(sound_job(content_of(file)), seed, draws, rates, closing=False).checks
    if ranked is None:
        raise click.UsageError("nothing is drawn yet, so there is nothing to check: draw a room")
    if as_json:
        kept = msgspec.structs.replace(ranked, checks=ranked.checks[:most])
        print_json(kept)
    else:
        checks_text.in_full(ranked, most or 6, Frame.of_stdout())


def _say_sensitivity(
    job: Job, seed: int, draws: int, rates: str | None, *, as_json: bool, everything: bool
) -> None:
    from wainscot.diagnosis.sensitivity import lines
    from wainscot.walk import sensitivity

    with progress_bar("trying rates") as progress:
        tried = sensitivity(job, seed=seed, draws=draws, book=book_of(rates), progress=progress)
    if as_json:
        print_json(tried)
        return
    out = Frame.of_stdout()
    told = lines(tried, len(tried.effects)) if everything else lines(tried)
    for line in told:
        out.paragraph(line, "", "  ")


COMMANDS = (diagnose, checks)

"""``wainscot estimate``: what a job will cost, in stages, and what the price hangs on."""

from __future__ import annotations

import click

from wainscot.cli.frame import Frame, guarded, print_json
from wainscot.cli.options import READ, with_all, with_draws, with_json, with_rates, with_seed
from wainscot.cli.reading import content_of, sound_job


@click.command(
    "estimate",
    short_help="Price range in stages, every line a quantity at a rate.",
    epilog="Example: wainscot estimate mill.json --rates ours.toml",
)
@click.argument("file", type=READ)
@with_rates()
@with_all("Every line, not the dearest few.")
@with_json
@with_seed
@with_draws(64)
@guarded
def estimate(
    file: str, rates: str | None, everything: bool, as_json: bool, seed: int, draws: int
) -> None:
    """Say what half of such jobs cost less than, and four in five, from the draws.

    Nothing is opened on the strength of it: the owner authorises each opening.
    """

    from wainscot import estimate as step
    from wainscot.cli.whole import walked

    found = walked(sound_job(content_of(file)), seed, draws, rates).estimate
    if found is None:
        raise click.UsageError("nothing is drawn yet, so there is nothing to price; draw a room")
    if as_json:
        print_json(found)
        return
    out = Frame.of_stdout()
    for line in step.lines(found, 10**6 if everything else step.MOST_LINES):
        out.paragraph(line.lstrip(), " " * (len(line) - len(line.lstrip())))

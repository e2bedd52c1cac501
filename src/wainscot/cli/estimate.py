"""``wainscot estimate``: what a job will cost, in stages, and what the price hangs on."""

from __future__ import annotations

import click

from wainscot.cli.frame import Frame, guarded
from wainscot.cli.reading import content_of, sound_job

_FILE = click.Path(exists=True, dir_okay=False, allow_dash=True)


@click.command(
    "estimate",
    short_help="Price range in stages, every line a quantity at a rate.",
    epilog="Example: wainscot estimate mill.json --rates ours.toml",
)
@click.argument("file", type=_FILE)
@click.option("--rates", type=_FILE, help="The firm's rates (TOML); without, hours are counted.")
@click.option("--all", "everything", is_flag=True, help="Every line, not the dearest few.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of words.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True)
@click.option("--draws", type=click.IntRange(64, 1_000_000), default=4096, show_default=True)
@guarded
def estimate(
    file: str, rates: str | None, everything: bool, as_json: bool, seed: int, draws: int
) -> None:
    """Say what half of such jobs cost less than, and four in five, from the draws.

    Nothing is opened on the strength of it: the owner authorises each opening.
    """
    import msgspec

    from wainscot import estimate as step
    from wainscot.cli.whole import walked

    found = walked(sound_job(content_of(file)), seed, draws, rates).estimate
    if found is None:
        raise click.UsageError("nothing is drawn yet, so there is nothing to price; draw a room")
    if as_json:
        packed = msgspec.json.encode(found, order="deterministic")
        click.echo(msgspec.json.format(packed, indent=2).decode())
        return
    out = Frame.of_stdout()
    for line in step.lines(found, 10**6 if everything else step.MOST_LINES):
        out.paragraph(line.lstrip(), " " * (len(line) - len(line.lstrip())))

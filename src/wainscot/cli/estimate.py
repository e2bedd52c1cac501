"""``wainscot estimate``: what a job will cost, in stages, and what the price hangs on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wainscot.cli.frame import Frame, guarded, progress_bar
from wainscot.cli.reading import content_of, sound_job

if TYPE_CHECKING:
    from wainscot.book import Book
    from wainscot.estimate import Scope
    from wainscot.job import Job

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
    from wainscot.book import DEFAULT, read_book

    job = sound_job(content_of(file))
    book = read_book(content_of(rates).decode("utf-8", "replace")) if rates else DEFAULT
    scope = scope_of(job, book, seed, draws)
    if scope is None:
        raise click.UsageError("nothing is drawn yet, so there is nothing to price; draw a room")
    found = step.estimate(scope, seed=seed)
    if as_json:
        packed = msgspec.json.encode(found, order="deterministic")
        click.echo(msgspec.json.format(packed, indent=2).decode())
        return
    out = Frame.of_stdout()
    for line in step.lines(found, 10**6 if everything else step.MOST_LINES):
        out.paragraph(line.lstrip(), " " * (len(line) - len(line.lstrip())))


def scope_of(job: Job, book: Book, seed: int, draws: int) -> Scope | None:
    """Walk a job and return what its estimate is taken from, or None where nothing is drawn.

    Parameters
    ----------
    job : Job
        A job without faults.
    book : Book
        The firm's rates.
    seed, draws : int
        As in :func:`wainscot.walk.walk`.
    """
    from wainscot.checks import answers_of, pool
    from wainscot.estimate import Scope
    from wainscot.sealing import seal_lists
    from wainscot.walk import walk

    with progress_bar("thinking") as progress:
        walked = walk(job, seed=seed, draws=draws, book=book, progress=progress)
    if walked.openings is None or walked.drawn is None:
        return None
    surveyed = walked.survey
    lists = [one for one in seal_lists(job, book=book).lists if one.grade == "as built"]
    mice = "mouse" in surveyed.species
    seals = next((one for one in lists if ("mouse" in one.species) == mice), None)
    return Scope(
        surveyed.plan, surveyed.graph, pool(walked.drawn, answers_of(job)), walked.checks,
        walked.openings, walked.offered, seals, book,
    )  # fmt: skip

"""``wainscot opened``: log bay by bay what was seen once voids lay open."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_job
from wainscot.cli.frame import Frame, guarded, progress_bar
from wainscot.cli.options import ON_DISK, with_draws, with_out, with_seed
from wainscot.cli.reading import content_of, refuse

if TYPE_CHECKING:
    from wainscot.job import Job
    from wainscot.voids.graph import Graph
    from wainscot.walk import Survey


@click.command(
    short_help="Log what was seen in voids that were opened.",
    epilog="Example: wainscot opened mill.json F19=clean F20=clean B1=nest --by crew",
)
@click.argument("file", type=ON_DISK)
@click.argument("seen", nargs=-1, required=True, metavar="VOID=SIGHT...")
@click.option("--at", default="", help="When, such as 2026-05-20.")
@click.option("--by", default="", help="Who saw it.")
@click.option("--share", type=click.FloatRange(0, 1, min_open=True), default=1.0,
              show_default=True, help="Share of each void that could be seen.")  # fmt: skip
@click.option(
    "--guess",
    default="",
    help="Framing guess that your plan shows; the likeliest now if not given.",
)
@with_seed
@with_draws(64)
@with_out
@targets.force_option
@guarded
def opened(
    file: str, seen: tuple[str, ...], at: str, by: str, share: float, guess: str, seed: int,
    draws: int, out: str | None, force: bool,
) -> None:  # fmt: skip
    """Log bay by bay what was seen: clean, light, heavy or nest, by the void's label.

    The labels are those of the plan and of the answer. Under another framing guess bays lie
    elsewhere under the same labels, so log all that one plan shows at once. The next walk leaves
    out what lies open and weighs the rest anew.
    \f

    Parameters
    ----------
    share : float
        Share of each void that could be seen. [1]
    """
    from wainscot import job as jobs
    from wainscot.openings.results import logged

    targets.ask([out], force=force)
    job = jobs.read(content_of(file))
    surveyed = _shown(job, guess, seed, draws)
    after = logged(job, surveyed.plan, surveyed.graph, _sights(seen), at=at, by=by, share=share)
    refuse(after)
    target = write_job(after, file, out)
    if target != "-":
        _say(surveyed.graph, _sights(seen), target)


def _shown(job: Job, guess: str, seed: int, draws: int) -> Survey:
    """The survey that the crew's plan shows: under the guess that is likeliest now."""
    from wainscot.errors import InputError, unknown_word
    from wainscot.plan import hypotheses
    from wainscot.walk import check, survey, walk

    if found := check(job):
        raise InputError(found)
    known = [key for key, _, _ in hypotheses(job)]
    if guess and guess not in known:
        raise InputError([unknown_word("unknown-guess", "--guess", "framing guess", guess, known)])
    if guess or len(known) == 1:
        return survey(job, guess=guess)
    with progress_bar("thinking") as progress:
        return walk(job, seed=seed, draws=draws, progress=progress).survey


def _say(graph: Graph, sights: dict[str, str], target: str) -> None:
    """Say back where each void lies, so that a label of another plan is noticed."""
    words = dict(zip(graph.labels, graph.words, strict=True))
    words |= dict(zip(graph.keys, graph.words, strict=True))
    messages = Frame.of_stderr()
    for void, sight in sights.items():
        messages.paragraph(f"{words[void]}: {sight}", "  ", "    ")
    many = "s" if len(sights) > 1 else ""
    messages.line(f"logged {len(sights)} void{many} in {target}; next: wainscot walk")


def _sights(seen: tuple[str, ...]) -> dict[str, str]:
    pairs = {}
    for one in seen:
        void, mark, sight = one.partition("=")
        if not mark or not void:
            raise click.UsageError(f"write {one!r} as VOID=SIGHT, such as F19=clean")
        if void in pairs:
            raise click.UsageError(f"{void} is told twice; say once what was seen")
        pairs[void] = sight.strip().lower()
    return pairs

"""``wainscot authorise``: put the owner's word on openings into the job."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_job
from wainscot.cli.frame import Frame, guarded, progress_bar
from wainscot.cli.options import ON_DISK, with_draws, with_out, with_rates, with_seed
from wainscot.cli.reading import content_of, refuse
from wainscot.cli.whole import book_of

if TYPE_CHECKING:
    from wainscot.job import Job
    from wainscot.openings import Choice

_SETS = {"least": "least", "balanced": "balanced", "all": "all_of_it"}


@click.command(
    short_help="Record what the owner authorised or declined.",
    epilog='Example: wainscot authorise mill.json --set balanced --by "the owner" --at 2026-05-20',
)
@click.argument("file", type=ON_DISK)
@click.option("--set", "which", type=click.Choice(list(_SETS)),
              help="Authorise this set, as it comes out now.")  # fmt: skip
@click.option("--opening", multiple=True, metavar="OPENING", help="Authorise this one, by id.")
@click.option("--decline", multiple=True, metavar="OPENING", help="Decline this one, by id.")
@click.option("--reason", default="", help="Why it was declined.")
@click.option("--by", required=True, help="Who said so.")
@click.option("--at", default="", help="When, such as 2026-05-20.")
@with_rates()
@with_seed
@with_draws(64)
@with_out
@targets.force_option
@guarded
def authorise(
    file: str, which: str | None, opening: tuple[str, ...], decline: tuple[str, ...], reason: str,
    by: str, at: str, rates: str | None, seed: int, draws: int, out: str | None,
    force: bool,
) -> None:  # fmt: skip
    """Write into the job which openings the owner authorised or declined.

    What is asked beyond it once work has begun is a change order.
    """
    from wainscot import job as jobs
    from wainscot.openings.signing import authorised, declined

    if not (which or opening or decline):
        raise click.UsageError("say what: --set balanced, --opening ID or --decline ID")
    targets.ask([out], force=force)
    job = jobs.read(content_of(file))
    choice = _choice(job, rates, seed, draws)
    _refuse_unknown(job, choice, (*opening, *decline))
    ids, price = _wanted(choice, which)
    after = job
    for one in decline:
        after = declined(after, one, by=by, at=at, reason=reason)
    after = authorised(after, (*ids, *opening), by=by, at=at, price=price)
    refuse(after)
    target = write_job(after, file, out)
    if target != "-":
        many = len({*ids, *opening} - set(decline))
        Frame.of_stderr().line(f"authorised {many}, declined {len(decline)} in {target}")


def _choice(job: Job, rates: str | None, seed: int, draws: int) -> Choice:
    from wainscot.walk import walk

    with progress_bar("thinking") as progress:
        choice = walk(job, seed=seed, draws=draws, book=book_of(rates), progress=progress).openings
    if choice is None:
        raise click.UsageError("nothing is drawn yet, so there is nothing to open: draw a room")
    return choice


def _wanted(choice: Choice, which: str | None) -> tuple[tuple[str, ...], str]:
    """The openings of a set, and its cost as it was told."""
    from wainscot.openings.words import money

    if which is None:
        return (), ""
    point = getattr(choice, _SETS[which])
    return point.openings, money(point.cost, choice.currency)


def _refuse_unknown(job: Job, choice: Choice, wanted: tuple[str, ...]) -> None:
    from wainscot.access import site_of, ways_to_open
    from wainscot.errors import InputError, unknown_word
    from wainscot.walk import survey

    if not wanted:
        return
    surveyed = survey(job)
    offered = {one.id for one in ways_to_open(surveyed.plan, surveyed.graph, site_of(job))}
    offered |= {one.id for one in choice.openings}
    if faults := [unknown_word("unknown-opening", "authorise", "opening", name, offered)
                  for name in wanted if name not in offered]:  # fmt: skip
        raise InputError(faults)

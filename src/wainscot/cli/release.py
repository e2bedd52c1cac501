"""``wainscot release``: hold points of a job, and who settled which on what evidence."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_job
from wainscot.cli.frame import Frame, guarded
from wainscot.cli.options import ON_DISK, with_out
from wainscot.cli.reading import content_of, refuse, sound_job

if TYPE_CHECKING:
    from wainscot.access import HoldPoint
    from wainscot.job import Job


@click.command(
    short_help="List hold points, or record that one is settled.",
    epilog='Example: wainscot release mill.json lead/hall --by "A. Tester" --evidence "swab 12"',
)
@click.argument("file", type=ON_DISK)
@click.argument("hold", nargs=-1)
@click.option("--by", default="", help="Who settled it.")
@click.option("--evidence", default="", help="The test, survey or certificate that it rests on.")
@click.option("--at", default="", help="When, such as 2026-05-20.")
@with_out
@targets.force_option
@guarded
def release(
    file: str, hold: tuple[str, ...], by: str, evidence: str, at: str, out: str | None,
    force: bool,
) -> None:  # fmt: skip
    """List every hold point that is still to be settled, or record who settled which.

    A release is good for one hazard at one place. It stands on the word and the evidence of the
    named person; local code, the label and licensed trades decide who that may be.
    """
    from wainscot.openings.signing import released

    if hold and not (by.strip() and evidence.strip()):
        raise click.UsageError("say who settled it and on what: --by NAME --evidence TEXT")
    targets.ask([out], force=force)
    job = sound_job(content_of(file))
    waiting = _waiting(job)
    if not hold:
        _list(waiting)
        return
    _refuse_unknown(hold, waiting)
    for one in dict.fromkeys(hold):
        job = released(job, one, by=by, evidence=evidence, at=at)
    refuse(job)
    target = write_job(job, file, out)
    if target != "-":
        Frame.of_stderr().line(f"released {len(set(hold))} in {target}")


def _waiting(job: Job) -> dict[str, HoldPoint]:
    """Hold points of every look and opening that are to be settled, by key."""
    from wainscot.access import holds_together, questions_of, site_of, ways, ways_to_open
    from wainscot.cleaning.planning import wetting_holds
    from wainscot.containment import Said
    from wainscot.containment import holds as work_holds
    from wainscot.walk import survey

    seen, site = survey(job), site_of(job)
    openings = ways_to_open(seen.plan, seen.graph, site)
    offered = (*ways(seen.plan, seen.graph, site, questions_of(job)), *openings)
    holds = [hold for one in offered for hold in one.holds]
    holds += [hold for some in holds_together(openings, site).values() for hold in some]
    holds += [*work_holds(Said(), site.released), *wetting_holds(site.released)]
    return {hold.key: hold for hold in holds if hold.standing != "care"}


def _list(waiting: dict[str, HoldPoint]) -> None:
    out = Frame.of_stdout()
    if not waiting:
        out.line("Nothing is waiting to be settled.")
    for key in sorted(waiting):
        hold = waiting[key]
        out.line(key)
        stop = "STOP until signed for" if hold.standing == "stop" else "find out first"
        out.paragraph(f"{hold.hazard}, {stop}: {hold.first} ({hold.who})", "  ")


def _refuse_unknown(wanted: tuple[str, ...], waiting: dict[str, HoldPoint]) -> None:
    from wainscot.errors import InputError, unknown_word

    if faults := [unknown_word("unknown-hold", "release", "hold point", name, waiting)
                  for name in wanted if name not in waiting]:  # fmt: skip
        raise InputError(faults)

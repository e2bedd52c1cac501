"""``wainscot traps`` and ``wainscot all-clear``: what the traps did, and whether it is over."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import click

from wainscot.cli.frame import Frame, guarded, progress_bar
from wainscot.cli.reading import content_of, sound_job

if TYPE_CHECKING:
    from wainscot.all_clear import AllClear, Watching
    from wainscot.job import Job

_FILE = click.Path(exists=True, dir_okay=False, allow_dash=True)
_json = click.option("--json", "as_json", is_flag=True, help="Print JSON instead of words.")


@click.command(short_help="Say what the traps did, and what the next round is.",
               epilog="Example: wainscot traps mill.json --species 'house mouse'")  # fmt: skip
@click.argument("file", type=_FILE)
@click.option("--species", type=click.Choice(["house mouse", "norway rat", "roof rat"]),
              default="house mouse", show_default=True,
              help="Says how long a new trap is avoided.")  # fmt: skip
@click.option("--today", type=click.DateTime(["%Y-%m-%d"]), help="Day of the next round.")
@_json
@guarded
def traps(file: str, species: str, today: datetime | None, as_json: bool) -> None:
    """Print trap nights, catches and indices since the last seal, and the next round as a list."""
    import msgspec

    from wainscot.all_clear import next_round, watching

    job = sound_job(content_of(file))
    seen, tasks = watching(job, species), next_round(job, (today or datetime.now()).date())
    if as_json:
        packed = msgspec.json.encode({"watching": seen, "next_round": tasks})
        click.echo(msgspec.json.format(packed, indent=2).decode())
        return
    out = Frame.of_stdout()
    _traps(seen, out)
    for task in tasks:
        out.paragraph(f"{task.what} {task.of}: {task.why}", "  - ")


def _traps(seen: Watching, out: Frame) -> None:
    out.line(f"{seen.trap_nights:.1f} trap nights, {seen.catches} caught, {seen.sprung} sprung "
             f"and empty, {seen.other} with others, {seen.missing} missing")  # fmt: skip
    if seen.before:
        out.line(f"{seen.before:.1f} trap nights before the last seal do not count here")
    if seen.indices is not None:
        every, empty = seen.indices
        out.paragraph(f"per hundred trap nights: {every:.1f} (every sprung trap half lost), "
                      f"{empty:.1f} (only those sprung without a catch)")  # fmt: skip


@click.command("all-clear", short_help="Say whether it is over, how sure, what would settle it.",
               epilog="Example: wainscot all-clear mill.json --shared")  # fmt: skip
@click.argument("file", type=_FILE)
@click.option("--give-up", "given_up", multiple=True, metavar="VOID",
              help="Leave this void to the animals: id, label or kind.")  # fmt: skip
@click.option("--shared", is_flag=True, help="A shop or a shared building: it stays watched.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True)
@click.option("--draws", type=click.IntRange(256, 1_000_000), default=4096, show_default=True)
@_json
@guarded
def all_clear(
    file: str, given_up: tuple[str, ...], shared: bool, seed: int, draws: int, as_json: bool
) -> None:
    """Print over, quiet and monitored, not over, or not yet known, with a chance and its limits."""
    import msgspec

    job = sound_job(content_of(file))
    found = _found(job, given_up, shared, seed, draws)
    if as_json:
        click.echo(msgspec.json.format(msgspec.json.encode(found), indent=2).decode())
        return
    _statement(found, Frame.of_stdout())


def _found(job: Job, given_up: tuple[str, ...], shared: bool, seed: int, draws: int) -> AllClear:
    from wainscot.all_clear import all_clear as answer
    from wainscot.sealing import seal_lists
    from wainscot.walk import survey
    from wainscot.walk import walk as whole

    with progress_bar("thinking") as progress:
        walked = whole(job, seed=seed, draws=draws, progress=progress)
    if walked.drawn is None or not walked.drawn.cases:
        raise click.UsageError("nothing is drawn yet, so nothing can be cleared: draw a room")
    species, guess = walked.drawn.cases[0]
    seen = survey(job, guess=guess, species=species)
    sealing = seal_lists(job, given_up=given_up)
    return answer(job, seen.plan, seen.graph, walked.drawn, sealing, shared=shared)


def _statement(found: AllClear, out: Frame) -> None:
    from wainscot.chance import in_ten, percent

    said = found.statement
    low, middle, high = (percent(one) for one in said.chance_range)
    out.line(out.strong(said.outcome))
    out.paragraph(f"that they are gone: {in_ten(said.chance)} ({low} in 100; {middle} or {high} if "
                  "the traps catch better)")  # fmt: skip
    _traps(found.watching, out)
    for label, lines in (("rests on", said.rests_on), ("but", said.limits),
                         ("would settle it", said.settles)):  # fmt: skip
        for line in lines:
            out.paragraph(line, f"{label}: ")
    for wanted, nights in said.nights_for:
        told = "never, with these traps and ways" if nights is None else f"{nights} empty nights"
        out.line(f"for {100 * wanted:.0f} in 100: {told}")
    if found.next_trap:
        out.paragraph(f"one more trap helps most at {found.next_trap}")
    for key in found.not_placed:
        out.paragraph(f"trap {key} has no point on the plan: it counts as no cover")

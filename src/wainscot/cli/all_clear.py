"""``wainscot traps`` and ``wainscot all-clear``: what the traps did, and whether it is over."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli.files import write_text
from wainscot.cli.frame import Frame, guarded, print_json, progress_bar
from wainscot.cli.options import READ, with_draws, with_json, with_rates, with_seed
from wainscot.cli.reading import content_of, sound_job
from wainscot.cli.whole import book_of

if TYPE_CHECKING:
    from wainscot.all_clear import AllClear, HowMany, Watching
    from wainscot.picture.tokens import ThemeName

_LINES = 8
NIGHTS_PICTURE = "chance-by-night.svg"


@click.command(short_help="Say what the traps did, and what the next round is.",
               epilog="Example: wainscot traps mill.json --how-many")  # fmt: skip
@click.argument("file", type=READ)
@click.option("--species", type=click.Choice(["house mouse", "norway rat", "roof rat"]),
              help="How long a new trap is avoided; the job's likeliest if not given.")  # fmt: skip
@click.option("--today", type=click.DateTime(["%Y-%m-%d"]), help="Day of the next round.")
@click.option("--how-many", "count", is_flag=True,
              help="Also how many there were, by removal; never on an owner's paper.")  # fmt: skip
@with_json
@guarded
def traps(
    file: str, species: str | None, today: datetime | None, count: bool, as_json: bool
) -> None:
    """Print trap nights, catches and indices since the last seal, and the next round as a list."""
    from wainscot.all_clear import Trapping, animal_of, how_many, next_round, spacing, watching

    job = sound_job(content_of(file))
    animal = species or animal_of(job)
    found = Trapping(
        watching(job, animal), next_round(job, (today or datetime.now()).date()), animal,
        how_many(job, animal) if count else None,
    )  # fmt: skip
    if as_json:
        print_json(found)
        return
    out = Frame.of_stdout()
    trap_lines(found.watching, out)
    low, high = spacing(animal)
    out.paragraph(f"usual distance between traps for {animal}: {low:g} to {high:g} m where they "
                  "are active, above and below too")  # fmt: skip
    if found.how_many is not None:
        _removal(found.how_many, out)
    if found.next_round:
        out.line()
        out.line(out.strong("Next round"))
    for task in found.next_round:
        out.paragraph(f"{task.what} {task.of}: {task.why}", "  - ", "    ")


def _removal(found: HowMany, out: Frame) -> None:
    catches = " ".join(map(str, found.catches))
    if found.line is not None:
        out.paragraph(f"how many there were: about {found.line.number:.0f} (standard error "
                      f"{found.line.error:.1f}), by catch per trap night from catches by round "
                      f"{catches}; {found.why}")  # fmt: skip
        return
    if found.likely is None:
        out.paragraph(f"how many there were: not told, {found.why} (catches by round: {catches})")
        return
    low, high = found.likely.interval
    top = "no upper limit" if high == float("inf") else f"{high:.0f}"
    out.paragraph(
        f"how many there were: about {found.likely.number:.0f} (95 % interval {low:.0f} to {top}), "
        f"from catches by round {catches}; {found.why}"
    )


def trap_lines(seen: Watching, out: Frame) -> None:
    """Write what the traps did.

    Parameters
    ----------
    seen : Watching
        Their nights and catches.
    out : Frame
        Where it goes.
    """
    out.paragraph(f"{seen.trap_nights:.1f} trap nights, {seen.catches} caught, {seen.sprung} "
                  f"sprung and empty, {seen.other} with others, {seen.missing} missing, "
                  f"{seen.bait_takes} with the bait taken")  # fmt: skip
    if seen.before:
        out.line(f"{seen.before:.1f} trap nights before the last seal do not count here")
    if seen.indices is not None:
        every, empty = seen.indices
        out.paragraph(f"per hundred trap nights: {every:.1f} (every sprung trap half lost), "
                      f"{empty:.1f} (only those sprung without a catch)")  # fmt: skip


@click.command("all-clear", short_help="Say whether it is over, how sure, what would settle it.",
               epilog="Example: wainscot all-clear mill.json --shared")  # fmt: skip
@click.argument("file", type=READ)
@click.option("--give-up", "given_up", multiple=True, metavar="VOID",
              help="Leave this void to the animals: id, label or kind.")  # fmt: skip
@click.option("--not", "declined", multiple=True, metavar="WAY",
              help="The owner does not want this one closed, by its key.")  # fmt: skip
@click.option("--shared", is_flag=True, help="A shop or a shared building: it stays watched.")
@with_rates()
@with_seed
@with_draws()
@click.option("--svg", type=click.Path(file_okay=False, path_type=Path), metavar="DIR",
              help="Folder for pictures: the chance by night, each smell over time.")  # fmt: skip
@with_json
@guarded
def all_clear(
    file: str, given_up: tuple[str, ...], declined: tuple[str, ...], shared: bool,
    rates: str | None, seed: int, draws: int, svg: Path | None, as_json: bool,
) -> None:  # fmt: skip
    """Print over, quiet and monitored, not over, or not yet known, with a chance and its limits."""
    from wainscot.sealing import Terms
    from wainscot.walk import walk

    job = sound_job(content_of(file))
    terms = Terms(given_up=given_up, declined=declined, shared=shared)
    with progress_bar("thinking") as progress:
        found = walk(
            job, seed=seed, draws=draws, book=book_of(rates), progress=progress, checks=False,
            closing=terms,
        ).all_clear  # fmt: skip
    if found is None:
        raise click.UsageError("nothing is drawn yet, so nothing can be cleared: draw a room")
    if svg:
        _write_pictures(found, job.title, svg)
    if as_json:
        print_json(found)
        return
    in_full(found, Frame.of_stdout())


def pictures(found: AllClear, title: str, theme: ThemeName = "day") -> dict[str, str]:
    """Return the pictures of a statement by file name, as SVG text; none where nothing is known.

    Parameters
    ----------
    found : AllClear
        The statement.
    title : str
        Name of the job.
    theme : str
        ``day`` or ``night``.
    """
    from wainscot.picture.over_time import draw_nights, draw_smell

    drawn = {NIGHTS_PICTURE: draw_nights(found, title=title, theme=theme)}
    drawn |= {f"smell-{n}-{one.of.split()[0]}.svg": draw_smell(one, theme=theme)
              for n, one in enumerate(found.smells, 1)}  # fmt: skip
    return {name: text for name, text in drawn.items() if text}


def _write_pictures(found: AllClear, title: str, folder: Path) -> None:
    written = pictures(found, title)
    if written:
        folder.mkdir(parents=True, exist_ok=True)
    for name, text in written.items():
        write_text(str(folder / name), text)
    if not written:
        Frame.of_stderr().line("no picture: no trap was looked at and nothing was read yet")


def in_full(found: AllClear, out: Frame) -> None:
    """Write the statement, what it rests on, its limits, and what a callback needs to know.

    Parameters
    ----------
    found : AllClear
        The statement.
    out : Frame
        Where it goes.
    """
    said = found.statement
    brief(found, out)
    _traps_and_smells(found, out)
    for label, lines in (("rests on", said.rests_on), ("but", said.limits),
                         ("would settle it", said.settles)):  # fmt: skip
        for line in lines:
            out.paragraph(line, f"{label}: ", "  ")
    for wanted, nights in said.nights_for:
        told = "never, with these traps and ways" if nights is None else f"{nights} empty nights"
        out.line(f"for {100 * wanted:.0f} in 100: {told}")
    _next_trap(found, out)
    _stopping(found, out)
    for key in found.not_placed:
        out.paragraph(f"trap {key} has no point on the plan: it counts as no cover")
    for line in said.warranty:
        out.paragraph(line, "warranty: ", "  ")
    _callback(found, out)


def brief(found: AllClear, out: Frame) -> None:
    """Write outcome, chance and until when it is good.

    Parameters
    ----------
    found : AllClear
        The statement.
    out : Frame
        Where it goes.
    """
    from wainscot.chance import in_ten, percent

    said = found.statement
    low, middle, high = (percent(one) for one in said.chance_range)
    out.line(out.strong(said.outcome))
    others = "" if low == middle == high else f"; {middle} or {high} if the traps catch better"
    out.paragraph(f"that they are gone: {in_ten(said.chance)} ({low} in 100{others})")
    if said.valid_until and said.outcome in ("over", "quiet and monitored"):
        out.paragraph(f"good until {said.valid_until}, if nothing changes")


def _traps_and_smells(found: AllClear, out: Frame) -> None:
    trap_lines(found.watching, out)
    for smell in found.smells:
        out.paragraph(smell.words, "smell and moisture: ", "  ")


def _next_trap(found: AllClear, out: Frame) -> None:
    one = found.next_trap
    if not one.at:
        return
    gain = ""
    if one.nights is not None and one.nights != one.without:
        before = "never" if one.without is None else f"{one.without} nights"
        gain = f": 95 in 100 after {one.nights} empty nights instead of {before}"
    out.paragraph(f"one more trap helps most at {one.at}{gain}")


def _stopping(found: AllClear, out: Frame) -> None:
    one = found.stopping
    if one.nights is None:
        return
    unit = one.currency or "h"
    when = "now" if one.nights == 0 else f"after {one.nights} more empty nights"
    out.paragraph(
        f"by cost alone stopping is cheapest {when} (a night {one.a_night:.2g} {unit}, a callback "
        f"{one.callback:.0f} {unit}); this is told beside the chance and decides nothing"
    )


def _callback(found: AllClear, out: Frame) -> None:
    """Write what somebody who is called back needs to know."""
    known = found.callback
    out.line()
    out.line(out.strong("If somebody is called back"))
    stands = (", ".join(known.traps),) if known.traps else ()
    for label, lines in (
        ("left shut", known.left_shut), ("declined", known.declined),
        ("stays open", known.open_ways), ("sealed", known.seals), ("read", known.readings),
        ("traps stand", stands), ("to fetch", known.bait),
    ):  # fmt: skip
        for line in lines[:_LINES]:
            out.paragraph(line, f"  {label}: ", "    ")
        if len(lines) > _LINES:
            out.line(f"  {label}: and {len(lines) - _LINES} more (--json)")

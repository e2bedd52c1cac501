"""``wainscot openings``: what to open, at three levels, and what each leaves."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_bytes, write_text
from wainscot.cli.frame import Frame, guarded, print_json, progress_bar
from wainscot.cli.options import (
    FOLDER,
    READ,
    with_all,
    with_draws,
    with_json,
    with_language,
    with_rates,
    with_seed,
)
from wainscot.cli.reading import content_of, sound_job
from wainscot.cli.whole import book_of

if TYPE_CHECKING:
    from wainscot.job import Job
    from wainscot.openings import Choice, Point, Wanted
    from wainscot.papers.opening_sheet import Which
    from wainscot.papers.opening_sheet.render import Size

_OUT_FILE = click.Path(dir_okay=False, writable=True)


@click.command(
    short_help="Say what to open, at three levels, and what each leaves.",
    epilog="Example: wainscot openings mill.json --must F7 --sheet mill.pdf",
)
@click.argument("file", type=READ)
@with_json
@click.option("--curve", is_flag=True, help="Print the whole curve as a table.")
@click.option("--curve-svg", type=_OUT_FILE, help="Draw the curve to this file.")
@click.option("--sheet", type=_OUT_FILE, help="Write the opening sheet (PDF), a page an opening.")
@click.option("--phone", is_flag=True, help="The sheet half a page at a time, for a telephone.")
@click.option("--svg", type=FOLDER, help="Folder for the sheet's drawings as SVG.")
@click.option("--dxf", type=FOLDER, help="Folder for the sheet's drawings as DXF [mm].")
@click.option(
    "--set", "which", type=click.Choice(["least", "balanced", "all"]), default="balanced",
    show_default=True, help="Whose openings the sheet shows; what is authorised always.",
)  # fmt: skip
@with_language
@targets.force_option
@with_all("Print every line of the balanced set.")
@click.option("--must", multiple=True, metavar="VOID", help="Open this void, by label or id.")
@click.option(
    "--not", "without", multiple=True, metavar="OPENING", help="Never make this opening, by id."
)
@click.option(
    "--max-cost", "most", type=click.FloatRange(0, min_open=True),
    help="In the currency of the rates; in hours where they name none.",
)  # fmt: skip
@click.option("--weigh-kept", is_flag=True, help="Open what is kept, at a price, if worth it.")
@click.option("--gap", type=click.FloatRange(0, 1), default=0.005, show_default=True,
              help="Share by which the cost may exceed the best there is.")  # fmt: skip
@with_rates()
@with_seed
@with_draws(64)
@guarded
def openings(
    file: str,
    as_json: bool,
    curve: bool,
    curve_svg: str | None,
    sheet: str | None,
    phone: bool,
    svg: Path | None,
    dxf: Path | None,
    which: Which,
    language: str,
    force: bool,
    everything: bool,
    must: tuple[str, ...],
    without: tuple[str, ...],
    most: float | None,
    weigh_kept: bool,
    gap: float,
    rates: str | None,
    seed: int,
    draws: int,
) -> None:
    """Choose the openings that reach the soiled voids at least cost and damage.

    Nothing that the owner has not authorised is more than planned work.
    \f

    Parameters
    ----------
    most : float
        Greatest cost. [currency]
    gap : float
        Gap at which to stop. [1]
    """

    from wainscot.openings import Wanted

    targets.ask([curve_svg, sheet], inputs=[file, rates], force=force)
    wanted = Wanted(must, without, float("inf") if most is None else most, weigh_kept)
    found = _Found(file, rates, seed, draws, wanted, gap)
    choice = found.choice
    if curve_svg:
        from wainscot.picture.curve import draw_curve

        write_text(curve_svg, draw_curve(choice, title=found.job.title))
    if sheet or svg or dxf:
        _write_sheet(found, which, language, sheet, "half" if phone else "page", svg, dxf)
    if as_json:
        print_json(choice)
        return
    out = Frame.of_stdout()
    in_full(choice, out, 10**6 if everything else None)
    if curve:
        table(choice.curve + choice.compared, choice.currency, out)


class _Found:
    """A job, and what was found on the way to its openings."""

    def __init__(
        self, file: str, rates: str | None, seed: int, draws: int, wanted: Wanted, gap: float
    ) -> None:
        from wainscot.walk import walk

        self.job: Job = sound_job(content_of(file))
        with progress_bar("thinking") as progress:
            self.walked = walk(
                self.job, seed=seed, draws=draws, book=book_of(rates), wanted=wanted, gap=gap,
                checks=False, progress=progress,
            )  # fmt: skip
        if self.walked.openings is None:
            raise click.UsageError("nothing is drawn yet, so there is nothing to open: draw a room")
        self.choice: Choice = self.walked.openings


def _write_sheet(
    found: _Found, which: Which, language: str, sheet: str | None, size: Size, svg: Path | None,
    dxf: Path | None,
) -> None:  # fmt: skip
    from wainscot.languages import names_in
    from wainscot.papers import opening_sheet as paper
    from wainscot.papers.said import quoted_in

    seen = found.walked.survey
    view = paper.sheet_view(
        found.job, found.choice, seen.plan, seen.graph, found.walked.offered, which=which,
        date=paper.last_day(found.job), said=paper.said_of(found.walked.diagnosis.voids),
    )  # fmt: skip
    entities = found.job.entities
    view = paper.spoken(view, language, names_in(entities), quoted_in(entities))
    files: dict[Path, bytes] = {}
    if sheet:
        files[Path(sheet)] = paper.as_pdf(view, size, language)
    if svg:
        drawn = paper.svg_files(view, language)
        files |= {svg / name: text.encode() for name, text in drawn.items()}
    if dxf:
        files |= {dxf / name: content for name, content in paper.dxf_files(view, language).items()}
    for folder in (svg, dxf):
        if folder:
            folder.mkdir(parents=True, exist_ok=True)
    for path, content in files.items():
        write_bytes(str(path), content)
    count = len(files)
    messages = Frame.of_stderr()
    messages.line(f"wrote {count} file{'' if count == 1 else 's'}")
    older = [
        path.name for folder in (svg, dxf) if folder for path in _drawings(folder) - set(files)
    ]
    if older:
        messages.paragraph(
            f"{len(older)} older drawings there are not of this sheet; do not cut by them: "
            f"{', '.join(sorted(older)[:6])}", "", "  ",
        )  # fmt: skip


def _drawings(folder: Path) -> set[Path]:
    """Return the drawings of opening sheets in a folder, by the names that this writes."""
    return {path for name in ("overview-*", "opening-*") for path in folder.glob(name)}


def in_full(choice: Choice, out: Frame, most: int | None = None) -> None:
    """Write the three sets, the balanced one line by line, and what is left.

    Parameters
    ----------
    choice : Choice
        The openings.
    out : Frame
        Where it goes.
    most : int, optional
        Lines of the balanced set that are told.
    """
    from wainscot.openings.words import MOST_LINES, lines

    for text in lines(choice, MOST_LINES if most is None else most):
        number, dot, _ = text.partition(". ")
        numbered = bool(dot) and number.isdigit()
        out.paragraph(text, "", " " * (len(number) + 2) if numbered else "  ")


def table(points: tuple[Point, ...], currency: str, out: Frame) -> None:
    """Write points as a table: cost against what is missed.

    Parameters
    ----------
    points : tuple of Point
        The points.
    currency : str
        Code of the currency; empty where money is counted in hours.
    out : Frame
        Where it goes.
    """
    unit = currency or "hours"
    out.line()
    out.line(
        f"{'':<18}{'open':>5}{'voids':>6}{unit:>9}{'left':>9}{'missed':>8}{'any':>5}{'gap':>6}"
    )
    for one in points:
        gap = "" if one.gap is None else f"{100 * one.gap:.1f}%"
        out.line(
            f"{one.name:<18}{len(one.openings):>5}{one.voids:>6}{one.cost:>9,.0f}"
            f"{one.loss_left:>9,.0f}{one.number:>8.1f}{100 * one.missed:>5.0f}{gap:>6}"
        )
    out.paragraph(
        f"open: openings; voids: laid open; {unit}: cost; left: expected callbacks; missed: soiled "
        "voids expected to be missed; any: in 100 that any soiled void is missed; callback x 2: a "
        "callback counted twice beside the cost."
    )

"""``wainscot demo`` and ``walk``: every step, and a folder with what each gave."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.all_clear import NIGHTS_PICTURE, pictures
from wainscot.cli.files import write_bytes
from wainscot.cli.frame import Frame, guarded, json_text, print_json
from wainscot.cli.options import (
    FOLDER,
    READ,
    with_all,
    with_draws,
    with_json,
    with_picture_date,
    with_rates,
    with_seed,
    with_theme,
)
from wainscot.cli.papers import demo_papers
from wainscot.cli.reading import content_of, sound_job
from wainscot.cli.seals import picture as seal_picture
from wainscot.cli.whole import picture_of, say, work_page
from wainscot.cli.whole import walked as whole_walk

if TYPE_CHECKING:
    from wainscot.job import Job
    from wainscot.picture.tokens import ThemeName
    from wainscot.walk import Walk

_page = click.option(
    "--page", "only_page", is_flag=True,
    help="Only the page that a crew leader works from: contain and clean.",
)  # fmt: skip


@click.command(epilog="Example: wainscot demo corner_cafe --out demo")
@click.argument("house", required=False)
@click.option("--list", "listed", is_flag=True, help="Name the demo houses and stop.")
@click.option("--out", type=FOLDER, help="Folder for the job file, the picture and the JSON.")
@targets.force_option
@with_all()
@_page
@with_seed
@with_draws()
@with_theme
@guarded
def demo(
    house: str | None, listed: bool, out: Path | None, force: bool, everything: bool,
    only_page: bool, seed: int, draws: int, theme: ThemeName,
) -> None:  # fmt: skip
    """Walk through a demo house and print the answer."""
    from wainscot import demos
    from wainscot.cleaning import read_label

    if listed:
        for name in demos.names():
            click.echo(f"{name:<18}{demos.about(name)}")
        return
    name = house or demos.FIRST
    if name not in demos.names():
        raise click.UsageError(f"no demo house is called {name}; there are "
                               f"{', '.join(demos.names())}")  # fmt: skip
    if out is not None and not force:
        targets.ask_demo_folder(out, (*_WRITTEN, "job.json"))
    text = demos.text(name)
    job = sound_job(text)
    walked = whole_walk(job, seed, draws, label=read_label(demos.LABEL))
    if out is not None:
        _write_all(out, walked, theme, demos.date(name), job_text=text)
        _write_papers(job, walked, out / "papers")
    say(job, walked, everything, only_page=only_page)
    if out is not None:
        Frame.of_stderr().line(_how_to_open(out / "job.json"))


def _write_papers(job: Job, walked: Walk, out: Path) -> None:
    from wainscot.papers.opening_sheet import last_day
    from wainscot.walk import answers

    demo_papers(answers(walked, job, date=last_day(job)), out)


def _how_to_open(file: Path) -> str:
    """Return the words that lead to the app, and what it still lacks here."""
    import importlib.util
    from importlib import resources

    before = []
    if importlib.util.find_spec("litestar") is None:
        before.append("pip install 'wainscot[server]'")
    if not (resources.files("wainscot") / "static" / "index.html").is_file():
        before.append("make web")
    steps = ", ".join([*before, "wainscot serve"])
    return f"to open it in the app: {steps}; at http://127.0.0.1:8420 open the job file {file}"


@click.command(
    short_help="Go through every step and write what each gave.",
    epilog="Example: wainscot walk mill.json --out mill",
)
@click.argument("file", type=READ)
@click.option("--out", type=FOLDER, help="Folder for the pictures and the JSON of each step.")
@targets.force_option
@with_all()
@_page
@with_json
@with_theme
@with_picture_date
@with_rates()
@with_seed
@with_draws()
@guarded
def walk(
    file: str, out: Path | None, force: bool, everything: bool, only_page: bool, as_json: bool,
    theme: ThemeName, date: str, rates: str | None, seed: int, draws: int,
) -> None:  # fmt: skip
    """Go through every step, print the answer, and write what each step gave."""
    if only_page and as_json:
        raise click.UsageError("--page and --json both want stdout; choose one")
    if out is not None:
        targets.ask_folder(out, _WRITTEN, inputs=[file, rates], force=force)
    job = sound_job(content_of(file))
    walked = whole_walk(job, seed, draws, rates)
    if out is not None:
        _write_all(out, walked, theme, date)
    timings = ", ".join(f"{name} {took:.2f} s" for name, took in walked.timings)
    Frame.of_stderr().line(f"took {timings}")
    if as_json:
        print_json(_steps(walked))
    else:
        say(job, walked, everything, only_page=only_page)


def _steps(walked: Walk) -> dict[str, object]:
    """Return what each step gave, by the names that the files of ``--out`` have."""
    return {
        "answer": walked.diagnosis, "checks": walked.checks, "openings": walked.openings,
        "work": walked.work, "seals": walked.sealing, "all-clear": walked.all_clear,
        "estimate": walked.estimate, "programme": walked.programme,
    }  # fmt: skip


def _opening_sheet(walked: Walk) -> bytes:
    from wainscot.papers import opening_sheet as paper

    seen, choice = walked.survey, walked.openings
    assert choice is not None
    view = paper.sheet_view(
        seen.job, choice, seen.plan, seen.graph, walked.offered,
        date=paper.last_day(seen.job),
        said=paper.said_of(walked.diagnosis.voids),
    )  # fmt: skip
    return paper.as_pdf(view)


_WRITTEN = (
    "all-clear.json", "answer.json", "chance-by-night.svg", "checks.json", "estimate.json",
    "opening-sheet.pdf", "openings.json", "picture-in-use.svg", "picture.svg", "programme.json",
    "programme.svg", "seal-map.svg", "seals.json", "voids.json", "work.json", "work.txt",
)  # fmt: skip


def _write_all(
    out: Path, walked: Walk, theme: ThemeName, date: str, *, job_text: str | None = None
) -> None:
    from wainscot import void_list

    files = {
        "picture.svg": picture_of(walked, "soiled", theme, date),
        "picture-in-use.svg": picture_of(walked, "in-use", theme, date),
        "answer.json": json_text(walked.diagnosis),
        "voids.json": void_list.as_json(walked.survey),
    }
    if walked.checks is not None:
        files["checks.json"] = json_text(walked.checks)
    if walked.openings is not None:
        files["openings.json"] = json_text(walked.openings)
    if job_text is not None:
        files["job.json"] = job_text
    if walked.work is not None:
        files["work.json"] = json_text(walked.work)
    if walked.sealing is not None:
        files["seals.json"] = json_text(walked.sealing)
        files["seal-map.svg"] = seal_picture(walked.survey, walked.sealing, theme, date)
    if walked.all_clear is not None:
        files["all-clear.json"] = json_text(walked.all_clear)
        nights = pictures(walked.all_clear, walked.survey.job.title, theme).get(NIGHTS_PICTURE)
        if nights:
            files[NIGHTS_PICTURE] = nights
    if walked.estimate is not None:
        files["estimate.json"] = json_text(walked.estimate)
    if walked.programme is not None:
        from wainscot.picture.bars import draw_bars

        files["programme.json"] = json_text(walked.programme)
        title = walked.survey.job.title or walked.survey.job.id
        if bars := draw_bars(walked.programme, title=title, theme=theme):
            files["programme.svg"] = bars
    if told := work_page(walked):
        files["work.txt"] = told
    out.mkdir(parents=True, exist_ok=True)
    packed = {name: content.encode("utf-8") for name, content in files.items()}
    if walked.openings is not None:
        packed["opening-sheet.pdf"] = _opening_sheet(walked)
    for name, content in packed.items():
        write_bytes(str(out / name), content)
    Frame.of_stderr().line(f"wrote {', '.join(sorted(packed))} to {out}")


COMMANDS = (demo, walk)

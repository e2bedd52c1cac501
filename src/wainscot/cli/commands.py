"""The commands.  Each reads, calls one function of the steps, and hands the answer to a writer."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wainscot import __version__
from wainscot.cli import targets
from wainscot.cli.all_clear import NIGHTS_PICTURE, all_clear, pictures, traps
from wainscot.cli.applied import COMMANDS as LABEL_COMMANDS
from wainscot.cli.authorise import authorise
from wainscot.cli.calc import calc
from wainscot.cli.cut import cut
from wainscot.cli.erase import COMMANDS as ERASE_COMMANDS
from wainscot.cli.estimate import estimate
from wainscot.cli.files import write_bytes, write_text
from wainscot.cli.frame import Frame, guarded, progress_bar
from wainscot.cli.opened import opened
from wainscot.cli.openings import openings
from wainscot.cli.package import package
from wainscot.cli.package_check import package_check
from wainscot.cli.papers import demo_papers, papers
from wainscot.cli.programme import programme
from wainscot.cli.proof import COMMANDS as PROOF_COMMANDS
from wainscot.cli.reading import content_of, refuse, sound_job
from wainscot.cli.release import release
from wainscot.cli.score import COMMANDS as SCORE_COMMANDS
from wainscot.cli.seals import picture as seal_picture
from wainscot.cli.seals import seals
from wainscot.cli.serve import COMMANDS as SERVER_COMMANDS
from wainscot.cli.simulate import simulate
from wainscot.cli.store import COMMANDS as RECORD_COMMANDS
from wainscot.cli.whole import book_of
from wainscot.cli.whole import walked as whole_walk
from wainscot.cli.work import COMMANDS as WORK_COMMANDS

if TYPE_CHECKING:
    from wainscot.job import Job
    from wainscot.picture.tokens import ThemeName
    from wainscot.walk import Walk

_FILE = click.Path(exists=True, dir_okay=False, readable=True, allow_dash=True)
_OUT_FILE = click.Path(dir_okay=False, writable=True, allow_dash=True)
_OUT_DIR = click.Path(file_okay=False, path_type=Path)

_seed = click.option(
    "--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True,
    help="Of all randomness; the same seed gives the same answer.",
)  # fmt: skip
_draws = click.option(
    "--draws", type=click.IntRange(256, 1_000_000), default=4096, show_default=True,
    help="Posterior draws in all; more take longer and settle more.",
)  # fmt: skip
_theme = click.option(
    "--theme", type=click.Choice(["day", "night"]), default="day", show_default=True,
    help="Colours of the picture; day is also for print.",
)  # fmt: skip
_shows = click.option(
    "--shows", type=click.Choice(["soiled", "in-use", "nest", "entries"]), default="soiled",
    show_default=True, help="What the picture's fill shows.",
)  # fmt: skip
_date = click.option("--date", default="", help="Date that stands on the picture, in words.")
_rates = click.option(
    "--rates", type=_FILE, help="The firm's own rates (TOML); then checks are told in money.",
)  # fmt: skip
_all = click.option("--all", "everything", is_flag=True, help="Every line, not the first few.")
_page = click.option(
    "--page", "only_page", is_flag=True,
    help="Only the page that a crew leader works from: contain and clean.",
)  # fmt: skip
_json = click.option("--json", "as_json", is_flag=True, help="JSON on stdout instead of words.")


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 88},
    epilog="Start with: wainscot demo --out demo",
)
@click.version_option(__version__, prog_name="wainscot")
def main() -> None:
    """Where rats and mice live inside a building, how they came in, what to check next.

    Draws on a job file: a partly drawn plan and the signs that were logged.
    """


main.add_command(openings)
main.add_command(calc)
main.add_command(authorise)
main.add_command(cut)
main.add_command(opened)
main.add_command(release)
main.add_command(seals)
main.add_command(estimate)
main.add_command(papers)
main.add_command(package_check)
main.add_command(programme)
main.add_command(package)
main.add_command(traps)
main.add_command(all_clear)
main.add_command(simulate)
for _command in (
    *WORK_COMMANDS, *LABEL_COMMANDS, *RECORD_COMMANDS, *ERASE_COMMANDS, *PROOF_COMMANDS,
    *SERVER_COMMANDS, *SCORE_COMMANDS,
):  # fmt: skip
    main.add_command(_command)


@main.command(epilog="Example: wainscot demo corner_cafe --out demo")
@click.argument("house", required=False)
@click.option("--list", "listed", is_flag=True, help="Name the demo houses and stop.")
@click.option("--out", type=_OUT_DIR, help="Folder for the job file, the picture and the JSON.")
@targets.force_option
@_all
@_page
@_seed
@_draws
@_theme
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
    _say(job, walked, everything, only_page=only_page)
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


@main.command(
    short_help="Write an empty job file.",
    epilog='Example: wainscot new mill.json --title "Mill Cottage" --units ft-in',
)
@click.argument("file", type=_OUT_FILE)
@click.option("--title", default="", help="Name of the job.")
@click.option("--units", type=click.Choice(["m", "ft-in"]), default="m", show_default=True)
@guarded
def new(file: str, title: str, units: str) -> None:
    """Write an empty job file; an existing file is never overwritten."""
    import secrets

    from wainscot import job as jobs

    if file != "-" and Path(file).exists():
        raise click.UsageError(f"{file} exists already; choose another name")
    made = jobs.new(title, "ft-in" if units == "ft-in" else "m", seed=secrets.randbits(63))
    write_text(file, jobs.write(made))
    if file != "-":
        Frame.of_stderr().line(f"wrote {file}; next: add a storey and a room to its entities")


@main.command(
    short_help="Say what is wrong with a job file, and the cure.",
    epilog="Example: wainscot validate mill.json --fix",
)
@click.argument("file", type=_FILE)
@click.option("--fix", is_flag=True, help="Give missing ids, keep labels, mend plain slips.")
@guarded
def validate(file: str, fix: bool) -> None:
    """Say everything that is wrong with a job file, and what to do about it."""
    import secrets

    from wainscot import job as jobs
    from wainscot.cli.summary import sound
    from wainscot.errors import InputError
    from wainscot.sealing import terms_faults
    from wainscot.voids import keep_labels

    job = jobs.read(content_of(file))
    done: list[str] = []
    if fix:
        job, done = jobs.fix(job, secrets.randbits(63))
    refuse(job)
    if unmet := terms_faults(job):
        raise InputError(unmet)
    if fix:
        job, kept = keep_labels(job)
        done += [f"labels of {kept} voids are kept from now on"] if kept else []
    if fix and (done or file == "-"):
        write_text(file, jobs.write(job))
    messages = Frame.of_stderr()
    for line in done:
        messages.line(line)
    out = messages if fix and file == "-" else Frame.of_stdout()
    out.line(sound(job))


@main.command(epilog="Example: wainscot voids mill.json --svg mill.svg")
@click.argument("file", type=_FILE)
@click.option("--svg", type=_OUT_FILE, help="Draw the plan with its hidden voids to this file.")
@targets.force_option
@_json
@_theme
@_date
@guarded
def voids(
    file: str, svg: str | None, force: bool, as_json: bool, theme: ThemeName, date: str
) -> None:
    """List the hidden voids of a plan; nothing is calculated yet."""
    from wainscot import void_list
    from wainscot.cli import void_table
    from wainscot.walk import survey

    _one_stdout(svg, as_json)
    targets.ask([svg], inputs=[file], force=force)
    surveyed = survey(sound_job(content_of(file)))
    if svg:
        from wainscot.picture import compose, draw

        sheet = compose(surveyed.job, surveyed.plan, surveyed.graph, surveyed.evidence, date=date)
        write_text(svg, draw(sheet, theme))
    if as_json:
        click.echo(void_list.as_json(surveyed), nl=False)
    elif svg != "-":
        void_table.show(surveyed, Frame.of_stdout())


@main.command(
    short_help="Say where they are, how they came in, what to check.",
    epilog="Example: wainscot diagnose mill.json --svg mill.svg --shows in-use",
)
@click.argument("file", type=_FILE)
@click.option("--svg", type=_OUT_FILE, help="Draw the answer on the plan to this file.")
@targets.force_option
@_json
@_all
@click.option(
    "--sensitivity",
    "try_rates",
    is_flag=True,
    help="Instead: halve and double each judged rate, and say what would change.",
)
@_shows
@_theme
@_date
@_rates
@_seed
@_draws
@guarded
def diagnose(
    file: str, svg: str | None, force: bool, as_json: bool, everything: bool, try_rates: bool,
    shows: str, theme: ThemeName, date: str, rates: str | None, seed: int, draws: int,
) -> None:  # fmt: skip
    """Say where they are or were, how they came in, and what to check first."""
    _one_stdout(svg, as_json)
    if try_rates and svg:
        raise click.UsageError("--sensitivity has no picture; leave --svg out")
    targets.ask([svg], inputs=[file, rates], force=force)
    job = sound_job(content_of(file))
    if try_rates:
        _say_sensitivity(job, seed, draws, rates, as_json=as_json, everything=everything)
        return
    walked = whole_walk(job, seed, draws, rates, closing=False)
    if svg:
        write_text(svg, _picture(walked, shows, theme, date))
    if as_json:
        click.echo(_json_text(walked.diagnosis), nl=False)
    elif svg != "-":
        _say(job, walked, everything)


@main.command(
    short_help="Say what to look at next, the best first.",
    epilog="Example: wainscot checks mill.json -n 3",
)
@click.argument("file", type=_FILE)
@click.option("-n", "most", type=click.IntRange(1), help="How many; 6 as words, all as JSON.")
@_json
@_rates
@_seed
@_draws
@guarded
def checks(
    file: str, most: int | None, as_json: bool, rates: str | None, seed: int, draws: int
) -> None:
    """Rank the ways to look by what they are worth beyond their cost, or say: time to open."""
    import msgspec

    from wainscot.cli import checks_text

    ranked = whole_walk(sound_job(content_of(file)), seed, draws, rates, closing=False).checks
    if ranked is None:
        raise click.UsageError("nothing is drawn yet, so there is nothing to check: draw a room")
    if as_json:
        kept = msgspec.structs.replace(ranked, checks=ranked.checks[:most])
        click.echo(_json_text(kept), nl=False)
    else:
        checks_text.in_full(ranked, most or 6, Frame.of_stdout())


@main.command(
    short_help="Go through every step and write what each gave.",
    epilog="Example: wainscot walk mill.json --out mill",
)
@click.argument("file", type=_FILE)
@click.option("--out", type=_OUT_DIR, help="Folder for the pictures and the JSON of each step.")
@targets.force_option
@_all
@_page
@_json
@_theme
@_date
@_rates
@_seed
@_draws
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
        click.echo(_json_text(_steps(walked)), nl=False)
    else:
        _say(job, walked, everything, only_page=only_page)


def _steps(walked: Walk) -> dict[str, object]:
    """Return what each step gave, by the names that the files of ``--out`` have."""
    return {
        "answer": walked.diagnosis, "checks": walked.checks, "openings": walked.openings,
        "work": walked.work, "seals": walked.sealing, "all-clear": walked.all_clear,
        "estimate": walked.estimate, "programme": walked.programme,
    }  # fmt: skip


def _one_stdout(svg: str | None, as_json: bool) -> None:
    if svg == "-" and as_json:
        raise click.UsageError("--svg - and --json both want stdout; give the picture a file name")


def _say_sensitivity(
    job: Job, seed: int, draws: int, rates: str | None, *, as_json: bool, everything: bool
) -> None:
    from wainscot.diagnosis.sensitivity import lines
    from wainscot.walk import sensitivity

    with progress_bar("trying rates") as progress:
        tried = sensitivity(job, seed=seed, draws=draws, book=book_of(rates), progress=progress)
    if as_json:
        click.echo(_json_text(tried), nl=False)
        return
    out = Frame.of_stdout()
    told = lines(tried, len(tried.effects)) if everything else lines(tried)
    for line in told:
        out.paragraph(line, "", "  ")


def _say(job: Job, walked: Walk, everything: bool, *, only_page: bool = False) -> None:
    from wainscot.cli import answer_text

    if only_page:
        told = _work_page(walked) or "Nothing is to be opened yet, so nothing to contain or clean."
        for line in told.splitlines():
            Frame.of_stdout().line(line)
        return
    answer_text.show(job, walked, Frame.of_stdout(), everything=everything)


def _picture(walked: Walk, shows: str, theme: ThemeName, date: str) -> str:
    from wainscot.picture import compose, draw

    surveyed = walked.survey
    choice: Any = {"shows": shows, "date": date, "checks": walked.checks}
    sheet = compose(
        surveyed.job, surveyed.plan, surveyed.graph, surveyed.evidence, walked.diagnosis, **choice
    )
    return draw(sheet, theme)


def _json_text(value: object) -> str:
    import msgspec

    packed = msgspec.json.encode(value, order="deterministic")
    return msgspec.json.format(packed, indent=2).decode() + "\n"


def _work_page(walked: Walk) -> str:
    from wainscot.papers import work_page as paper

    return paper.page(walked.survey.job.title, walked.work) if walked.work is not None else ""


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
        "picture.svg": _picture(walked, "soiled", theme, date),
        "picture-in-use.svg": _picture(walked, "in-use", theme, date),
        "answer.json": _json_text(walked.diagnosis),
        "voids.json": void_list.as_json(walked.survey),
    }
    if walked.checks is not None:
        files["checks.json"] = _json_text(walked.checks)
    if walked.openings is not None:
        files["openings.json"] = _json_text(walked.openings)
    if job_text is not None:
        files["job.json"] = job_text
    if walked.work is not None:
        files["work.json"] = _json_text(walked.work)
    if walked.sealing is not None:
        files["seals.json"] = _json_text(walked.sealing)
        files["seal-map.svg"] = seal_picture(walked.survey, walked.sealing, theme, date)
    if walked.all_clear is not None:
        files["all-clear.json"] = _json_text(walked.all_clear)
        nights = pictures(walked.all_clear, walked.survey.job.title).get(NIGHTS_PICTURE)
        if nights:
            files[NIGHTS_PICTURE] = nights
    if walked.estimate is not None:
        files["estimate.json"] = _json_text(walked.estimate)
    if walked.programme is not None:
        from wainscot.picture.bars import draw_bars

        files["programme.json"] = _json_text(walked.programme)
        title = walked.survey.job.title or walked.survey.job.id
        if bars := draw_bars(walked.programme, title=title, theme=theme):
            files["programme.svg"] = bars
    if told := _work_page(walked):
        files["work.txt"] = told
    out.mkdir(parents=True, exist_ok=True)
    packed = {name: content.encode("utf-8") for name, content in files.items()}
    if walked.openings is not None:
        packed["opening-sheet.pdf"] = _opening_sheet(walked)
    for name, content in packed.items():
        write_bytes(str(out / name), content)
    Frame.of_stderr().line(f"wrote {', '.join(sorted(packed))} to {out}")

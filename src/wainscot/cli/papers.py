"""``wainscot papers``: a job on paper."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_bytes
from wainscot.cli.frame import Frame, guarded
from wainscot.cli.options import READ, with_draws, with_language, with_rates, with_seed
from wainscot.cli.reading import content_of, sound_job

if TYPE_CHECKING:
    from wainscot.job import Job
    from wainscot.papers.answers import Answers, Photo
    from wainscot.papers.printing import Sheet, Size
    from wainscot.store import Store

SIZES: dict[str, Size] = {"a4": "a4", "letter": "us-letter"}

with_record = click.option(
    "--record", type=click.Path(file_okay=False, exists=True, path_type=Path),
    help="Folder of the record that holds the job: its photos and its head go along.",
)  # fmt: skip
with_paper = click.option(
    "--paper", type=click.Choice([*SIZES]), help="Size; else as it is usual in the job's country."
)
with_date = click.option(
    "--date", default="", metavar="DAY",
    help="Day that stands on them, 2026-05-12; else the job's last.",
)  # fmt: skip


@click.command(
    "papers",
    short_help="Write the papers for owner, crew and trades as PDF.",
    epilog="Example: wainscot papers mill.json --out papers --language es",
)
@click.argument("file", type=READ, required=False)
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for the PDF.")
@click.option("--only", multiple=True, metavar="NAME", help="This paper; may be given again.")
@click.option("--list", "listed", is_flag=True, help="Name the papers and stop.")
@with_language
@with_paper
@with_date
@click.option("--json", "as_json", is_flag=True, help="What stands on them, as JSON on stdout.")
@with_rates()
@with_record
@with_seed
@with_draws()
@targets.force_option
@guarded
def papers(
    file: str | None, out: Path | None, only: tuple[str, ...], listed: bool, language: str,
    paper: str | None, date: str, as_json: bool, rates: str | None, record: Path | None, seed: int,
    draws: int, force: bool,
) -> None:  # fmt: skip
    """Write the papers that a job has something to say on; name the others with the reason."""
    from wainscot.papers.kinds import papers as every

    if listed:
        for name, one in every().items():
            click.echo(f"{name:<22} {one.words(language)['title']}")
        return
    if file is None or (out is None and not as_json):
        raise click.UsageError("name a job file, and a folder with --out (or --json)")
    names = only or tuple(every())
    _known_names(names)
    if out is not None:
        targets.ask_folder(
            out, [f"{name}.pdf" for name in names], inputs=[file, rates], force=force
        )
    known = known_of(file, seed, draws, rates, date, record)
    size = SIZES[paper] if paper else None
    made = dict(made_of(known, names, language, size))
    if out is not None:
        write_papers(out, made)
    if as_json:
        from wainscot.papers.printing import as_json as told

        click.echo(b"[" + b",".join(told(one) for one in made.values()) + b"]")


def known_of(
    file: str, seed: int, draws: int, rates: str | None, date: str, record: Path | None
) -> Answers:
    """Return what papers are made from.

    Parameters
    ----------
    file : str
        The job file.
    seed, draws : int
        Of the walk.
    rates : str or None
        The firm's own rates.
    date : str
        Day that stands on them; the job's last if empty.
    record : Path or None
        The record that holds the job.
    """
    from wainscot.cli.whole import walked
    from wainscot.papers.opening_sheet import last_day
    from wainscot.walk import answers

    job = sound_job(content_of(file))
    head, given, photos = _recorded(job, record)
    found = walked(job, seed, draws, rates)
    return answers(found, job, date=date or last_day(job), head=head, given=given, photos=photos)


def _recorded(job: Job, record: Path | None) -> tuple[str, str, dict[str, Photo]]:
    """Return both heads and the photos of a job; one that differs there has no head."""
    from wainscot.cli.record import opened_record
    from wainscot.papers.photo_list import photos_of

    if record is None:
        return "", "", {}
    with opened_record(record) as store:
        if job.id not in store.jobs():
            raise click.UsageError(f"the record in {record} holds no job {job.id}; import it first")
        photos, lost = photos_of(
            job, lambda one: b"".join(store.blobs.read(one)) if store.blobs.has(one) else None
        )
        for line in lost:
            Frame.of_stderr().line(line)
        if store.job(job.id) != job:
            Frame.of_stderr().line(
                "the job file is not as the record has it: its head is left out (wainscot export)"
            )
            return "", "", photos
        return store.head(job.id), _given(store), photos


def _given(store: Store) -> str:
    """Return the text of a head that is given out now; where none can be, say why."""
    from wainscot.cli.record import right_now
    from wainscot.record import text_of
    from wainscot.store import StoreError, give_head

    try:
        return text_of(give_head(store, now=right_now()))
    except StoreError as error:
        Frame.of_stderr().line(f"the papers carry no signed head: {error}")
        return ""


def _known_names(names: tuple[str, ...]) -> None:
    from wainscot.errors import InputError, unknown_word
    from wainscot.papers.kinds import papers as every

    if faults := [unknown_word("unknown-paper", "--only", "paper", name, every())
                  for name in names if name not in every()]:  # fmt: skip
        raise InputError(faults)


def made_of(
    known: Answers, names: tuple[str, ...], language: str, size: Size | None
) -> Iterator[tuple[str, Sheet]]:
    """Yield the papers that have something to say; tell of the others on standard error.

    Parameters
    ----------
    known : Answers
        What the steps said.
    names : tuple of str
        Which papers.
    language : str
        Of the papers.
    size : str or None
        Of the papers; as it is usual in the job's country if none.
    """
    from wainscot.papers.kinds import papers as every
    from wainscot.papers.printing import sheet

    for name in names:
        made = sheet(name, known, language=language, size=size)
        if made is None:
            Frame.of_stderr().line(f"no {name}: {every()[name].words('en')['nothing']}")
        else:
            yield name, made


def write_papers(out: Path, made: dict[str, Sheet]) -> None:
    """Write papers to a folder and say so.

    Parameters
    ----------
    out : Path
        The folder.
    made : dict of str to Sheet
        Papers by name.
    """
    from wainscot.papers.printing import as_pdf

    packed = {f"{name}.pdf": as_pdf(one) for name, one in made.items()}
    out.mkdir(parents=True, exist_ok=True)
    for name, content in packed.items():
        write_bytes(str(out / name), content)
    Frame.of_stderr().line(f"wrote {', '.join(packed) or 'nothing'} to {out}")


def demo_papers(known: Answers, out: Path) -> None:
    """Write every paper of a demo house in English.

    Parameters
    ----------
    known : Answers
        What the steps said.
    out : Path
        The folder.
    """
    from wainscot.papers.kinds import papers as every
    from wainscot.papers.printing import sheet

    made = {name: sheet(name, known) for name in every()}
    write_papers(out, {name: one for name, one in made.items() if one is not None})

"""``wainscot package``: everything of a job as one file that can be checked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli import papers, targets
from wainscot.cli.files import write_bytes
from wainscot.cli.frame import Frame, guarded
from wainscot.cli.options import READ, with_draws, with_language, with_rates, with_seed

if TYPE_CHECKING:
    from wainscot.papers.answers import Answers
    from wainscot.papers.printing import Sheet


@click.command(
    short_help="Write papers, job and record as one file that can be checked.",
    epilog="Example: wainscot package mill.json --out mill.zip --record record",
)
@click.argument("file", type=READ)
@click.option("--out", type=click.Path(dir_okay=False, path_type=Path), required=True,
              help="The zip.")  # fmt: skip
@click.option("--originals/--no-originals", default=False, show_default=True,
              help="Photos as they were taken too; most say where and with what.")  # fmt: skip
@with_language
@papers.with_paper
@papers.with_date
@with_rates()
@papers.with_record
@with_seed
@with_draws()
@targets.force_option
@guarded
def package(
    file: str, out: Path, originals: bool, language: str, paper: str | None, date: str,
    rates: str | None, record: Path | None, seed: int, draws: int, force: bool,
) -> None:  # fmt: skip
    """Write a bag (RFC 8493): job file, papers with what stands on them, photos, record, verifier.

    Any program that reads bags finds a file that was changed, is missing or came later.
    """
    from wainscot.papers.kinds import papers as every
    from wainscot.papers.package import bag

    targets.ask([out], inputs=[file, rates], force=force)
    if originals and record is None:
        raise click.UsageError("--originals needs --record: a job file holds no photos")
    known = papers.known_of(file, seed, draws, rates, date, record)
    size = papers.SIZES[paper] if paper else None
    made = dict(papers.made_of(known, tuple(every()), language, size))
    files = _payload(known, made)
    proof = _of_record(known, record, language, originals=originals) if record else {}
    text = _read_me(out.name, known, language, originals=originals)
    content = bag(known.job.id, {**files, **proof, "README.txt": text}, _about(known))
    write_bytes(str(out), content)
    Frame.of_stderr().line(f"wrote {len(made)} papers and {len(known.photos)} photos to {out}")


def _payload(known: Answers, made: dict[str, Sheet]) -> dict[str, bytes]:
    from wainscot import job as jobs
    from wainscot.papers.printing import as_json, as_pdf

    files = {"job.json": jobs.write(known.job).encode()}
    for name, one in made.items():
        files[f"papers/{name}.pdf"] = as_pdf(one)
        files[f"papers/{name}.json"] = as_json(one)
    for digest, photo in known.photos.items():
        files[f"photos/{digest}.jpg"] = photo.jpeg
    return files


def _read_me(name: str, known: Answers, language: str, *, originals: bool) -> bytes:
    from wainscot.papers.package_text import read_me

    return read_me(name, known.given if known.head else "", language, originals=originals)


def _of_record(known: Answers, record: Path, language: str, *, originals: bool) -> dict[str, bytes]:
    """Return the record of the job, where it is the one that the papers tell of, and originals."""
    from wainscot.cli.record import opened_record
    from wainscot.papers.originals import beside_picture
    from wainscot.papers.package_text import photo_list
    from wainscot.papers.photo_list import hashes_of
    from wainscot.store import record_of

    files: dict[str, bytes] = {}
    with opened_record(record) as store:
        if known.head:
            files = record_of(store, known.job.id)
            files["head.txt"] = f"{known.given}\n".encode()
        if originals:
            named = hashes_of(known.job)
            taken = {one: b"".join(store.blobs.read(one)) for one in named if store.blobs.has(one)}
            files |= {f"blobs/{one}": data for one, data in taken.items()}
            told = {one: beside_picture(data) for one, data in taken.items()}
            missing = [one for one in named if one not in taken]
            files["photos.txt"] = photo_list(told, missing, language)
            _say_where(sum(one.place for one in told.values()), len(told))
    return {f"record/{name}": content for name, content in files.items()}


def _say_where(place: int, all_: int) -> None:
    Frame.of_stderr().line(
        f"{place} of {all_} photos as they were taken say where; record/photos.txt names them"
    )


def _about(known: Answers) -> dict[str, str]:
    from wainscot import __version__
    from wainscot.record import head_of

    head = head_of(known.given) if known.head and known.given else None
    about = {
        "External-Identifier": known.job.id, "External-Description": known.job.title,
        "Bagging-Date": known.date, "Bag-Software-Agent": f"wainscot {__version__}",
        "Job-Version": known.version, "Record-Head": known.head,
        "Signed-Head": f"{head.size} {head.root}" if head else "",
        "Photos": "upright and scaled, without place and device; named by the SHA-256 of the photo "
        "as it was taken" if known.photos else "",
    }  # fmt: skip
    return {key: value for key, value in about.items() if value}

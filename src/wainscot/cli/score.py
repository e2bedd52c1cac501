"""``wainscot score`` and ``wainscot learn``: how the advice did, and what closed jobs teach."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_bytes, write_text
from wainscot.cli.frame import Frame, guarded, print_json, progress_bar
from wainscot.cli.options import (
    ON_DISK,
    with_draws,
    with_json,
    with_language,
    with_rates,
    with_seed,
)
from wainscot.cli.papers import SIZES
from wainscot.cli.reading import content_of, sound_job
from wainscot.cli.record import opened_record, with_record

if TYPE_CHECKING:
    from wainscot.job import Job
    from wainscot.score import JobScore, Score
    from wainscot.signs.scaling import RateName
    from wainscot.store import Store

OFF = "WAINSCOT_LEARN"
"""Set to ``off``, it switches learning off on this machine."""


@click.command(
    short_help="How the advice did on the bays that were opened, over all closed jobs.",
    epilog="Example: wainscot score --rates ours.toml",
)
@with_rates("The firm's rates (TOML), for the bands.")
@click.option("--paper", type=click.Path(dir_okay=False, writable=True),
              help="File for the score on paper (PDF).")  # fmt: skip
@with_language
@click.option("--size", type=click.Choice([*SIZES]), default="a4", show_default=True,
              help="Of the paper.")  # fmt: skip
@click.option("--date", type=click.DateTime(["%Y-%m-%d"]), metavar="DAY",
              help="Day that stands on it, 2026-05-12; else the closed jobs' last.")  # fmt: skip
@with_json
@with_seed
@with_draws(64, 2048)
@with_record
@guarded
def score(
    rates: str | None, paper: str | None, language: str, size: str, date: datetime | None,
    as_json: bool, seed: int, draws: int, record: Path | None,
) -> None:  # fmt: skip
    """Say of the bays called "open" how many were soiled, and of those called "leave" how many not.

    The advice is what the record said before each opening, calculated again. Jobs that were called
    back count with the rest.
    """

    from wainscot.score import lines, score_of

    if paper == "-":
        raise click.UsageError("stdout is for the words; give --paper a file name")
    targets.ask([paper], inputs=[rates])
    with opened_record(record) as store:
        found = score_of(_scores(store, rates, seed, draws))
        day = f"{date:%Y-%m-%d}" if date else _last_day(store)
    if as_json:
        print_json(found)
    else:
        out = Frame.of_stdout()
        for line in lines(found):
            out.paragraph(line, "", "  ")
    if paper is not None:
        _write_paper(paper, found, day, language, size)


def _last_day(store: Store) -> str:
    """Return the last day that anything in a closed job is dated with."""
    from wainscot.papers.opening_sheet import last_day
    from wainscot.score import ended

    jobs = (store.job(job_id) for job_id in store.jobs())
    return max((last_day(job) for job in jobs if ended(job)), default="")


def _write_paper(file: str, found: Score, day: str, language: str, size: str) -> None:
    from wainscot.papers.of_firm.score import score_sheet
    from wainscot.papers.printing import as_pdf

    made = score_sheet(found, date=day, language=language, size=SIZES[size])
    if made is None:
        Frame.of_stderr().line(f"no paper: nothing to score; {file} is not written")
        return
    write_bytes(file, as_pdf(made))
    Frame.of_stderr().line(f"wrote {file}")


def _scores(store: Store, rates: str | None, seed: int, draws: int) -> list[JobScore]:
    from wainscot.cli.whole import book_of
    from wainscot.score import ended, of_job

    book = book_of(rates)
    mine = [(job_id, store.events(job_id)) for job_id in store.jobs() if ended(store.job(job_id))]
    with progress_bar("going through closed jobs") as progress:
        found = []
        for n, (job_id, events) in enumerate(mine):
            found.append(of_job(events, job_id, seed=seed, draws=draws, book=book))
            if progress is not None:
                progress((n + 1) / len(mine))
    return found


@click.command(
    short_help="What closed jobs teach of the judged rates; writes nothing unasked.",
    epilog="Example: wainscot learn --write learnt.toml; then: wainscot walk mill.json "
    "--rates learnt.toml",
)
@click.argument("files", nargs=-1, type=ON_DISK)
@with_rates("The firm's rates (TOML) that what was learnt goes with.")
@click.option("--rate", "only", multiple=True, metavar="WORDS",
              help="Learn this rate alone; may be said several times.")  # fmt: skip
@click.option("--write", type=click.Path(dir_okay=False, writable=True, allow_dash=True),
              help="File for the learnt rates, to be read with --rates.")  # fmt: skip
@with_json
@with_seed
@with_draws(64, 2048)
@with_record
@guarded
def learn(
    files: tuple[str, ...], rates: str | None, only: tuple[str, ...], write: str | None,
    as_json: bool, seed: int, draws: int, record: Path | None,
) -> None:  # fmt: skip
    """Set prior and posterior of each judged rate side by side, from jobs whose owners agreed.

    Without FILES the closed jobs of the record; a job counts only where may_learn stands in its
    closing terms and a bay was opened. WAINSCOT_LEARN=off switches this off.
    """

    from wainscot import learning

    if os.environ.get(OFF, "").strip().lower() == "off":
        raise click.UsageError(f"learning is switched off here ({OFF}=off); nothing was read")
    if write == "-" and as_json:
        raise click.UsageError("--write - and --json both want stdout; give a file name")
    targets.ask([write], inputs=[rates, *files])
    names = _named(only)
    agreed = (job for job in _jobs(files, record) if learning.may_learn(job))
    jobs = [one for job in agreed if (one := learning.when_open(job)) is not None]
    with progress_bar("learning") as progress:
        found = learning.learn(jobs, seed=seed, draws=draws, names=names, progress=progress)
    if write is not None:
        own = content_of(rates).decode("utf-8", "replace") if rates else ""
        write_text(write, learning.overlay(found, own))
    if as_json:
        print_json(found)
    elif write != "-":
        for line in learning.lines(found):
            Frame.of_stdout().line(line)


def _named(only: tuple[str, ...]) -> list[RateName]:
    """Return the rates that are called so."""
    from wainscot.errors import InputError, unknown_word
    from wainscot.signs.learnt import learnable

    known = {one.words: one for one in learnable()}
    faults = [unknown_word("unknown-rate", "--rate", "rate that can be learnt", words, list(known))
              for words in only if words not in known]  # fmt: skip
    if faults:
        raise InputError(faults)
    return [known[words] for words in only]


def _jobs(files: tuple[str, ...], record: Path | None) -> Iterator[Job]:
    from wainscot.score import ended

    if files:
        yield from (sound_job(content_of(file)) for file in files)
        return
    with opened_record(record) as store:
        yield from [job for job_id in store.jobs() if ended(job := store.job(job_id))]


COMMANDS = (score, learn)

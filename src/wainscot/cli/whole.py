"""The whole way through a job, for the commands that need its end: closing, price, programme."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from wainscot.cli.frame import Frame, progress_bar
from wainscot.cli.reading import MADE, content_of

if TYPE_CHECKING:
    from wainscot.book import Book
    from wainscot.cleaning import Label
    from wainscot.job import Job
    from wainscot.picture.tokens import ThemeName
    from wainscot.walk import Walk


def walked(
    job: Job, seed: int, draws: int, rates: str | None = None, label: Label | None = None,
    *, closing: bool = True, start: str = "",
) -> Walk:  # fmt: skip
    """Return the walk; closing terms that cannot be met stop nothing but the closing.

    Parameters
    ----------
    job : Job
        A job without faults.
    seed, draws : int
        As in :func:`wainscot.walk.walk`.
    rates : str, optional
        File of the firm's rates.
    label : Label, optional
        Of the product in the hand.
    closing : bool
        False ends before the closing, the price and the programme.
    start : str
        First day of the work; the day after the last that the job is dated with if empty.
    """
    import time
    from datetime import date
    from functools import partial

    from wainscot.errors import InputError
    from wainscot.programme import first_day
    from wainscot.sealing import Terms
    from wainscot.walk import walk as go

    first = start or first_day(job, max(date.today(), MADE))
    with progress_bar("thinking") as progress:
        walk_it = partial(go, job, seed=seed, draws=draws, book=book_of(rates), progress=progress,
                          clock=time.perf_counter, label=label, priced=closing,
                          start=first if closing else "")  # fmt: skip
        if not closing:
            return walk_it()
        try:
            return walk_it(closing=Terms())
        except InputError as error:
            found = walk_it()  # the steps before are remembered; a fault of theirs comes again
            faults = error.faults
    for fault in faults:
        Frame.of_stderr().line(f"closing waits: {fault}")
    return found


def book_of(rates: str | None) -> Book:
    """Return the firm's rates, or the defaults where no file is named.

    Parameters
    ----------
    rates : str, optional
        Their file.
    """
    from wainscot.book import DEFAULT, read_book

    return read_book(content_of(rates).decode("utf-8", "replace")) if rates else DEFAULT


def say(job: Job, walked: Walk, everything: bool, *, only_page: bool = False) -> None:
    """Write the answer to standard output.

    Parameters
    ----------
    job : Job
        The job.
    walked : Walk
        Its walk.
    everything : bool
        Whether every line is told.
    only_page : bool
        Whether the page that a crew leader works from is told alone.
    """
    from wainscot.cli import answer_text

    if only_page:
        told = work_page(walked) or "Nothing is to be opened yet, so nothing to contain or clean."
        for line in told.splitlines():
            Frame.of_stdout().line(line)
        return
    answer_text.show(job, walked, Frame.of_stdout(), everything=everything)


def picture_of(walked: Walk, shows: str, theme: ThemeName, date: str) -> str:
    """Return the answer drawn on the plan, as SVG text.

    Parameters
    ----------
    walked : Walk
        The walk.
    shows : str
        What the fill shows: ``soiled``, ``in-use``, ``nest`` or ``entries``.
    theme : str
        ``day`` or ``night``.
    date : str
        What stands as the date, in words.
    """
    from wainscot.picture import compose, draw

    surveyed = walked.survey
    choice: Any = {"shows": shows, "date": date, "checks": walked.checks}
    sheet = compose(
        surveyed.job, surveyed.plan, surveyed.graph, surveyed.evidence, walked.diagnosis, **choice
    )
    return draw(sheet, theme)


def work_page(walked: Walk) -> str:
    """Return the page that a crew leader works from; empty where nothing is to be opened."""
    from wainscot.papers import work_page as paper

    return paper.page(walked.survey.job.title, walked.work) if walked.work is not None else ""

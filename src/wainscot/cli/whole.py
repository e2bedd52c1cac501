"""The whole way through a job, for the commands that need its end: closing, price, programme."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wainscot.cli.frame import Frame, progress_bar
from wainscot.cli.reading import MADE, content_of

if TYPE_CHECKING:
    from wainscot.book import Book
    from wainscot.cleaning import Label
    from wainscot.job import Job
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

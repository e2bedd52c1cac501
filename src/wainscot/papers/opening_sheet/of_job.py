"""The sheet of a job that was diagnosed: plan, voids and ways are built as the choice was."""

from __future__ import annotations

from collections.abc import Sequence

from wainscot import voids as voids_step
from wainscot.access import site_of, ways_to_open
from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.diagnosis import Draws
from wainscot.diagnosis.answer import VoidAnswer
from wainscot.job import Job, typed
from wainscot.openings import Choice
from wainscot.papers.opening_sheet.model import SheetView, VoidSaid
from wainscot.papers.opening_sheet.view import Which, day_of, sheet_view


def sheet_of_job(
    job: Job,
    draws: Draws,
    choice: Choice,
    *,
    book: Book = DEFAULT_BOOK,
    answers: Sequence[VoidAnswer] = (),
    which: Which = "balanced",
    date: str = "",
) -> SheetView:
    """Return the opening sheet of a job.

    Parameters
    ----------
    job : Job
        The job that was diagnosed.
    draws : Draws
        The draws of its diagnosis.
    choice : Choice
        What to open, as :func:`wainscot.openings.plan_openings` gives it.
    book : Book, optional
        The firm's rates.
    answers : sequence of VoidAnswer, optional
        What the diagnosis says of each void.
    which : {"least", "balanced", "all"}
        Which set; what is authorised comes on top.
    date : str
        Day that stands on it; :func:`last_day` gives the job's own.

    Raises
    ------
    InputError
        If the job has faults.
    """
    species, guess = draws.cases[0]
    plan = voids_step.framed(job, guess).plan
    graph = voids_step.build(plan, species)
    ways = ways_to_open(plan, graph, site_of(job), book)
    said = {one.id: VoidSaid(one.soiled, one.reason) for one in answers}
    return sheet_view(job, choice, plan, graph, ways, which=which, date=date, said=said)


def last_day(job: Job) -> str:
    """Return the last day that anything in a job is dated with, ``2026-05-12``; empty without one.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    days = (day_of(getattr(entity, "at", "") or "") for entity in typed(job).values())
    return max(days, default="")

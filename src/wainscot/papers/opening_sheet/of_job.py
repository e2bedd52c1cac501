"""What a sheet takes from a job and its diagnosis: its day, and what is said of each void."""

from __future__ import annotations

from collections.abc import Iterable

from wainscot.diagnosis.answer import VoidAnswer
from wainscot.job import Job, typed
from wainscot.papers.opening_sheet.model import VoidSaid
from wainscot.papers.opening_sheet.view import day_of


def said_of(answers: Iterable[VoidAnswer]) -> dict[str, VoidSaid]:
    """Return what a sheet says of each void, by its id.

    Parameters
    ----------
    answers : iterable of VoidAnswer
        What the diagnosis says of each void.
    """
    return {one.id: VoidSaid(one.soiled, one.reason) for one in answers}


def last_day(job: Job) -> str:
    """Return the last day that anything in a job is dated with, ``2026-05-12``; empty without one.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    days = (day_of(getattr(entity, "at", "") or "") for entity in typed(job).values())
    return max(days, default="")

"""What a sheet takes from a job and its diagnosis: its day, and what is said of each void."""

from __future__ import annotations

from collections.abc import Iterable

from wainscot.diagnosis.answer import VoidAnswer
from wainscot.job import Job, Signature, Visit, typed
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

    A visit counts once it says what was done: until then it is one to come.  A signature dates its
    own line, not the paper.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    days = (
        day_of(getattr(one, "at", "") or "")
        for one in typed(job).values()
        if not isinstance(one, Signature) and (not isinstance(one, Visit) or one.done)
    )
    return max(days, default="")

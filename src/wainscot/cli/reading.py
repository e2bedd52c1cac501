"""Reading a job file: what is wrong with it, and what may be, by what day it is."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from wainscot.cli.frame import Frame, printable

if TYPE_CHECKING:
    from wainscot.errors import Fault
    from wainscot.job import Job

MADE = date(2026, 11, 25)
"""When this was written.  A clock that stands before it is wrong, as after a flat battery."""


def content_of(file: str) -> bytes:
    """Return what a file, or standard input for ``-``, holds."""
    with click.open_file(file, "rb") as stream:
        content: bytes = stream.read()
    return content


def sound_job(text: str | bytes) -> Job:
    """Return a job that nothing is wrong with; warnings go to standard error.

    Parameters
    ----------
    text : str or bytes
        Content of a job file.

    Raises
    ------
    InputError
        If anything is wrong with it.
    """
    from wainscot import job as jobs

    job = jobs.read(text)
    refuse(job)
    return job


def refuse(job: Job) -> None:
    """Raise everything that is wrong with a job; warnings on a sound one go to standard error.

    Parameters
    ----------
    job : Job
        Any job.

    Raises
    ------
    InputError
        If anything is wrong with it.
    """
    from wainscot import job as jobs
    from wainscot.errors import InputError
    from wainscot.walk import check

    today = max(date.today(), MADE)
    found: list[Fault] = [*check(job), *jobs.dates_to_come(job, today)]
    if found:
        raise InputError(found)
    for warning in jobs.far_dates(job, today):
        Frame.of_stderr().line(printable(f"warning: {warning}"))

"""A job document to its plan, its voids and its signs.  No drawing of another program is read."""

from __future__ import annotations

import contextlib
from functools import cache
from pathlib import Path

from fuzz.given import demo
from wainscot import job as jobs
from wainscot.errors import InputError
from wainscot.voids import build, framings
from wainscot.walk import check, survey

_TESTS = Path(__file__).resolve().parents[2] / "tests" / "bad_jobs"


@cache
def seeds() -> list[bytes]:
    """Return a demo house, and the small house of the tests with every mistake it is tried with."""
    return [demo("semi_1930s"), *(one.read_bytes() for one in sorted(_TESTS.glob("*.json")))]


def one(data: bytes) -> None:
    """Read a job, say what is wrong, mend it, and build plan and voids where nothing is."""
    try:
        job = jobs.read(data)
    except InputError:
        return
    mended, _ = jobs.fix(job, 1)
    for each in (job, mended):
        _through(each)


def _through(job: jobs.Job) -> None:
    if check(job):
        return
    assert jobs.read(jobs.write(job).encode("utf-8")) == job
    with contextlib.suppress(InputError):
        for framed in framings(job):
            build(framed.plan, "house mouse")
        survey(job)

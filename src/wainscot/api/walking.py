"""One process that walks: takes a job, tells how far it is, gives the answer.

It is told one task at a time through a pipe (``"walk"`` or ``"outlines"``, then what that takes)
and answers with ``("share", x)`` while it works, then ``("done", bytes)``, ``("faults", ...)`` or
``("failed", class)``.  Whoever wants it to stop ends the process; nothing is on the disk that could
be half done.
"""

from __future__ import annotations

import signal
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

FIRST = 0.3
"""Share of the time that a walk takes where the range of every void is wanted too; a guess. [1]"""


def walk(job: bytes, seed: int, draws: int, ranges: bool, tell: Any) -> bytes:
    """Return diagnosis, checks, openings and what Find shows of a job as JSON.

    The first three are as the command line prints each.

    Parameters
    ----------
    job : bytes
        A job as MessagePack.
    seed, draws : int
        As :func:`wainscot.walk.walk` takes them.
    ranges : bool
        Whether every judged rate is tried at half and double, for the range of each void.
    tell : callable
        Called with the share that is done. [1]
    """
    import msgspec

    from wainscot import walk as steps
    from wainscot.finding import finding
    from wainscot.job import Job

    given = msgspec.msgpack.decode(job, type=Job)
    first = FIRST if ranges else 1.0
    walked = steps.walk(
        given, seed=seed, draws=draws, progress=lambda share: tell(first * share), why=True
    )
    tried = None
    if ranges:
        tried = steps.ranges(
            given, seed=seed, draws=draws, progress=lambda share: tell(first + (1 - first) * share)
        )
    told = {
        "diagnosis": walked.diagnosis,
        "checks": walked.checks,
        "openings": walked.openings,
        "find": finding(given, walked, ranges=tried),
    }
    return msgspec.json.encode(told, order="deterministic")


def outlines(job: bytes, tell: Any) -> bytes:
    """Return the outlines of the voids of a job as JSON, nothing calculated.

    Parameters
    ----------
    job : bytes
        A job as MessagePack.
    tell : callable
        Not called: it takes no time worth telling.
    """
    import msgspec

    from wainscot.finding import shapes
    from wainscot.job import Job
    from wainscot.walk import survey

    del tell
    given = msgspec.msgpack.decode(job, type=Job)
    return msgspec.json.encode(shapes(survey(given)), order="deterministic")


TASKS: dict[str, Callable[..., bytes]] = {"walk": walk, "outlines": outlines}


def main(pipe: Connection) -> None:
    """Work until the other end of the pipe is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server decides, not the terminal
    from wainscot.errors import InputError

    while True:
        try:
            task, *given = pipe.recv()
        except EOFError:
            return
        try:
            told: tuple[str, Any] = (
                "done", TASKS[task](*given, lambda share: pipe.send(("share", share)))
            )  # fmt: skip
        except InputError as error:
            told = "faults", [(one.code, one.path, one.what, one.cure) for one in error.faults]
        except Exception as error:
            told = "failed", type(error).__name__  # its message may quote the job
        try:
            pipe.send(told)
        except OSError:
            return

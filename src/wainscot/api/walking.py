"""One process that walks: takes a job, tells how far it is, gives the answer.

It is told one job at a time through a pipe and answers with ``("share", x)`` while it works, then
``("done", bytes)``, ``("faults", ...)`` or ``("failed", class)``.  Whoever wants it to stop ends
the process; nothing is on the disk that could be half done.
"""

from __future__ import annotations

import signal
from multiprocessing.connection import Connection
from typing import Any


def answer(job: bytes, seed: int, draws: int, tell: Any) -> bytes:
    """Return diagnosis, checks and openings of a job as JSON, as the command line prints each.

    Parameters
    ----------
    job : bytes
        A job as MessagePack.
    seed, draws : int
        As :func:`wainscot.walk.walk` takes them.
    tell : callable
        Called with the share that is done. [1]
    """
    import msgspec

    from wainscot.job import Job
    from wainscot.walk import walk

    walked = walk(msgspec.msgpack.decode(job, type=Job), seed=seed, draws=draws, progress=tell)
    given = {
        "diagnosis": walked.diagnosis,
        "checks": walked.checks,
        "openings": walked.openings,
    }
    return msgspec.json.encode(given, order="deterministic")


def main(pipe: Connection) -> None:
    """Work until the other end of the pipe is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server decides, not the terminal
    from wainscot.errors import InputError

    while True:
        try:
            job, seed, draws = pipe.recv()
        except EOFError:
            return
        try:
            told: tuple[str, Any] = (
                "done", answer(job, seed, draws, lambda share: pipe.send(("share", share)))
            )  # fmt: skip
        except InputError as error:
            told = "faults", [(one.code, one.path, one.what, one.cure) for one in error.faults]
        except Exception as error:
            told = "failed", type(error).__name__  # its message may quote the job
        try:
            pipe.send(told)
        except OSError:
            return

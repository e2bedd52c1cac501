"""One process that walks: takes a job, tells how far it is, gives the answer.

It is told one task at a time through a pipe (the name of one of :data:`TASKS`, then what it takes)
and answers with ``("share", x)`` while it works, then ``("done", value)``, ``("faults", ...)`` or
``("failed", class)``.  Whoever wants it to stop ends the process; nothing is on the disk that could
be half done.
"""

from __future__ import annotations

import signal
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

from wainscot.api.own_rates import book_of

FIRST = 0.3
"""Share of the time that a walk takes where the range of every void is wanted too; a guess. [1]"""


Wanted = tuple[tuple[str, ...], tuple[str, ...], float | None]


def walk(
    job: bytes, seed: int, draws: int, ranges: bool, wanted: Wanted, rates: str, tell: Any
) -> tuple[bytes, bytes]:
    """Return what a walk tells of a job as JSON, and the pocket.

    Diagnosis, checks, openings, work, seals, all-clear, estimate and programme are as the command
    line prints each, by the firm's rates; closing terms that cannot be met leave the closing out
    and are told under ``closing_waits``.
    Drying is told for the air that a plan assumes, with no cable looked at.
    The pocket is what a phone carries (:mod:`wainscot.pocket`), packed by gzip.

    Parameters
    ----------
    job : bytes
        A job as MessagePack.
    seed, draws : int
        As :func:`wainscot.walk.walk` takes them.
    ranges : bool
        Whether every judged rate is tried at half and double, for the range of each void.
    wanted : (must, without, most)
        What is wanted of the openings.
    rates : str
        The firm's own rates as JSON; the defaults if empty.
    tell : callable
        Called with the share that is done. [1]
    """
    import gzip
    from datetime import date
    from functools import partial

    import msgspec

    from wainscot import pocket
    from wainscot import walk as steps
    from wainscot.cleaning import closings
    from wainscot.finding import finding
    from wainscot.job import Job
    from wainscot.papers.making import can_be_made
    from wainscot.papers.opening_sheet import last_day
    from wainscot.programme import first_day

    given = msgspec.msgpack.decode(job, type=Job)
    first = FIRST if ranges else 1.0
    walk_it = partial(
        steps.walk, given, seed=seed, draws=draws, wanted=_wanted(*wanted), book=book_of(rates),
        progress=lambda share: tell(first * share), why=True, priced=True,
        start=first_day(given, date.today()),
    )  # fmt: skip
    walked, waits = closed(walk_it)
    tried = None
    if ranges:
        tried = steps.ranges(
            given, seed=seed, draws=draws, book=book_of(rates),
            progress=lambda share: tell(first + (1 - first) * share),
        )  # fmt: skip
    told = {
        "diagnosis": walked.diagnosis,
        "checks": walked.checks,
        "openings": walked.openings,
        "find": finding(given, walked, ranges=tried),
        "work": walked.work,
        "sealing": walked.sealing,
        "all_clear": walked.all_clear,
        "estimate": walked.estimate,
        "programme": walked.programme,
        "drying": closings(given),
        "closing_waits": [f"{one.what}; {one.cure}" for one in waits],
        "papers": can_be_made(steps.answers(walked, given, date=last_day(given))),
    }
    carried = pocket.make(given, walked.drawn, book_of(rates), seed=seed) if walked.drawn else None
    packed = gzip.compress(pocket.written(carried), 6, mtime=0)
    return msgspec.json.encode(told, order="deterministic"), packed


def closed(walk_it: Callable[..., Any]) -> tuple[Any, tuple[Any, ...]]:
    """Return a walk up to its closing; where its terms cannot be met, without, and the faults.

    Parameters
    ----------
    walk_it : callable
        The walk, but for the closing.
    """
    from wainscot.errors import InputError
    from wainscot.sealing import Terms

    try:
        return walk_it(closing=Terms()), ()
    except InputError as error:
        # The steps before are remembered; a fault of theirs comes again.
        return walk_it(), tuple(error.faults)


def sheet(
    job: bytes, seed: int, draws: int, wanted: Wanted, rates: str, which: Any, size: Any, tell: Any
) -> bytes:
    """Return the opening sheet of a walk as PDF; quick in the process that walked.

    Parameters
    ----------
    job : bytes
        A job as MessagePack.
    seed, draws : int
        As :func:`wainscot.walk.walk` takes them.
    wanted : (must, without, most)
        What is wanted of the openings.
    rates : str
        As the walk was asked with.
    which, size : str
        As :class:`wainscot.api.paper_shapes.SheetAsk` takes them.
    tell : callable
        Called with the share that is done. [1]
    """
    import msgspec

    from wainscot.errors import Fault, InputError
    from wainscot.job import Job
    from wainscot.papers import opening_sheet as paper
    from wainscot.walk import walk as steps

    given = msgspec.msgpack.decode(job, type=Job)
    walked = steps(given, seed=seed, draws=draws, wanted=_wanted(*wanted), book=book_of(rates),
                   progress=tell, why=True)  # fmt: skip
    if walked.openings is None:
        fault = Fault("not-calculated", "", "nothing is drawn, so there is nothing to open",
                      "draw a room")  # fmt: skip
        raise InputError([fault])
    said = paper.said_of(walked.diagnosis.voids)
    view = paper.sheet_view(
        given, walked.openings, walked.survey.plan, walked.survey.graph, walked.offered,
        which=which, date=paper.last_day(given), said=said,
    )  # fmt: skip
    return paper.as_pdf(view, size)


def _wanted(must: tuple[str, ...], without: tuple[str, ...], most: float | None) -> Any:
    from wainscot.openings import Wanted as Asked

    return Asked(tuple(must), tuple(without), float("inf") if most is None else most)


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


def cuts(job: bytes, tell: Any) -> bytes:
    """Return what is said to each cut that somebody drew in a job, as JSON, nothing calculated.

    Parameters
    ----------
    job : bytes
        A job as MessagePack.
    tell : callable
        Not called: it takes no time worth telling.
    """
    import msgspec

    from wainscot.access import own_cuts, site_of
    from wainscot.job import Job
    from wainscot.walk import survey

    del tell
    seen = survey(msgspec.msgpack.decode(job, type=Job))
    told = own_cuts(seen.plan, seen.graph, site_of(seen.job))
    return msgspec.json.encode(told, order="deterministic")


def paper(
    job: bytes, kind: str, language: str, size: Any, head: str, signed: str,
    photos: dict[str, str], rates: str, tell: Any,
) -> bytes:  # fmt: skip
    """Return a paper of a job as the command line makes it, a ``Made`` as MessagePack.

    Quick in the process that walked the same job.

    Parameters
    ----------
    job : bytes
        A job as MessagePack.
    kind : str
        One of :func:`wainscot.papers.kinds.papers`.
    language : str
        One of :data:`wainscot.papers.said.LANGUAGES`.
    size : str
        ``a4`` or ``us-letter``; as it is usual in the job's country if empty.
    head : str
        Of the job's events.
    signed : str
        Text of the record's signed head.
    photos : dict of str to str
        Where the bytes of each photo at hand lie, by their SHA-256; the office has looked at them.
    rates : str
        The firm's own rates as JSON; the defaults if empty.
    tell : callable
        Called with the share that is done. [1]

    Raises
    ------
    InputError
        If the job has faults, or the paper has nothing to say yet.
    """
    from datetime import date
    from functools import partial
    from pathlib import Path

    import msgspec

    from wainscot import walk as steps
    from wainscot.errors import Fault, InputError
    from wainscot.job import Job
    from wainscot.papers.kinds import papers
    from wainscot.papers.making import make
    from wainscot.papers.opening_sheet import last_day
    from wainscot.papers.photo_list import photos_of
    from wainscot.programme import first_day

    given = msgspec.msgpack.decode(job, type=Job)
    walk_it = partial(steps.walk, given, progress=tell, why=True, priced=True, book=book_of(rates),
                      start=first_day(given, date.today()))  # fmt: skip
    walked, _ = closed(walk_it)
    at_hand, _ = photos_of(given, lambda one: Path(photos[one]).read_bytes() if one in photos
                           else None)  # fmt: skip
    known = steps.answers(walked, given, date=last_day(given), head=head, given=signed,
                          photos=at_hand)  # fmt: skip
    made = make(kind, known, language=language, size=size or None)
    if made is None:
        lacks = str(papers()[kind].words(language)["nothing"])
        raise InputError([Fault("not-calculated", "", lacks, "come back once that is in the job")])
    return msgspec.msgpack.encode(made)


TASKS: dict[str, Callable[..., Any]] = {
    "walk": walk, "outlines": outlines, "cuts": cuts, "sheet": sheet, "paper": paper,
}  # fmt: skip


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

"""The firm's own score: how the advice did on the bays that were opened, and who called back.

    score = score_of([JobScore("job_mill", "Mill Cottage", opened_in(events, "job_mill"))])
    score.rows[0].right.share

Pure: events were read before, values come out.

Limits: bays that nobody opened are not in it, so it says nothing of soiled bays that were left shut
until somebody calls back; ``advice`` says how a bay and its advice are brought together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.job import Job, faults, how_it_stands
from wainscot.record import Event, fold
from wainscot.score.advice import Opened, counted, opened_in
from wainscot.score.counting import Share, shared
from wainscot.signs import DEFAULT as DEFAULT_RATES
from wainscot.signs.learnt import with_factors

BANDS = ("open", "check first", "leave", "can't tell yet")
"""The advice in the order in which it is told."""


class JobScore(msgspec.Struct, frozen=True):
    """One closed job."""

    job: str
    title: str
    opened: tuple[Opened, ...] = ()
    callbacks: int = 0
    """Times that somebody called the firm back to it."""


def ended(job: Job) -> bool:
    """Return whether a job was ever closed; one that was called back since counts too.

    Parameters
    ----------
    job : Job
        Any job; one with faults never counts.
    """
    return not faults(job) and how_it_stands(job).state != "open"


def of_job(
    events: Iterable[Event],
    job_id: str,
    *,
    seed: int = 1,
    draws: int = 2048,
    book: Book = DEFAULT_BOOK,
) -> JobScore:
    """Return the score of one closed job from its record.

    Parameters
    ----------
    events : iterable of Event
        The record.
    job_id : str
        Id of the job.
    seed, draws : int
        Of the diagnoses that are made again.
    book : Book, optional
        The firm's rates.
    """
    mine = [one for one in events if one.job == job_id]
    job = fold(mine, job_id)
    rates = with_factors(DEFAULT_RATES, book.signs)
    opened = opened_in(mine, job_id, seed=seed, draws=draws, book=book, rates=rates)
    return JobScore(job_id, job.title, opened, len(how_it_stands(job).callbacks))


class Row(msgspec.Struct, frozen=True):
    """How one advice did."""

    band: str
    right: Share
    """Soiled bays where it was to open or to check; clean bays where it was to leave."""
    claimed: float | None
    """Mean chance of being right as it was claimed before; None of no bays. [1]"""
    jobs: int
    """Houses that these bays lie in."""


class Score(msgspec.Struct, frozen=True):
    """The score over all closed jobs."""

    jobs: int
    rows: tuple[Row, ...]
    callbacks: Share
    """Jobs with at least one callback, of all closed jobs."""
    not_drawn: int
    """Opened bays that the plan did not have before."""
    left_out: int
    """Openings over several bays, or seen in part only."""


def score_of(jobs: Sequence[JobScore]) -> Score:
    """Return the score of some jobs.

    Parameters
    ----------
    jobs : sequence of JobScore
        Closed jobs.
    """
    bays = [(job.job, one) for job in jobs for one in counted(job.opened)]
    every = [one for job in jobs for one in job.opened]
    return Score(
        jobs=len(jobs),
        rows=tuple(_row(band, [pair for pair in bays if pair[1].band == band]) for band in BANDS),
        callbacks=shared(sum(job.callbacks > 0 for job in jobs), len(jobs)),
        not_drawn=sum(one.band not in BANDS for _, one in bays),
        left_out=sum(bool(one.left_out) for one in every),
    )


def _row(band: str, bays: list[tuple[str, Opened]]) -> Row:
    clean = band == "leave"
    right = sum(one.soiled != clean for _, one in bays)
    chances = [_right_as_claimed(one, clean) for _, one in bays]
    claimed = sum(chances) / len(chances) if chances else None
    return Row(band, shared(right, len(bays)), claimed, len({job for job, _ in bays}))


def _right_as_claimed(one: Opened, clean: bool) -> float:
    chance = one.chance or 0.0
    return 1.0 - chance if clean else chance


def lines(score: Score) -> list[str]:
    """Return the score in lines for people.

    Parameters
    ----------
    score : Score
        From :func:`score_of`.
    """
    if not score.jobs:
        return ["No job is closed yet, so there is nothing to score."]
    said = [_line(row) for row in score.rows if row.right.of]
    if not said:
        said = ["No bay that the tool had advised on was opened in them."]
    many = "s" if score.jobs > 1 else ""
    head = f"{score.jobs} closed job{many}."
    callbacks = (f"Called back to {score.callbacks.hits} of {score.callbacks.of} jobs "
                 f"({_interval(score.callbacks)}).")  # fmt: skip
    return [head, *said, callbacks, *_rest(score)]


_ADVICE = {
    "open": "Called “open” and opened",
    "check first": "Called “check first” and opened",
    "leave": "Called “leave” and opened all the same",
    "can't tell yet": "“Can't tell yet” and opened",
}


def _line(row: Row) -> str:
    found = "clean" if row.band == "leave" else "soiled"
    houses = f"{row.jobs} house{'s' if row.jobs > 1 else ''}"
    claimed = "" if row.claimed is None else f"; the chances said {100 * row.claimed:.0f} in 100"
    return (f"{_ADVICE[row.band]}: {row.right.hits} of {row.right.of} {found} "
            f"({_interval(row.right)}), in {houses}{claimed}.")  # fmt: skip


def _interval(share: Share) -> str:
    return f"95 % interval {100 * share.low:.0f} to {100 * share.high:.0f} in 100, Wilson"


def _rest(score: Score) -> Iterable[str]:
    if score.not_drawn:
        yield f"{score.not_drawn} opened where the plan had no bay before: not counted."
    if score.left_out:
        yield (f"{score.left_out} openings over several bays, or seen less than four fifths: "
               "not counted.")  # fmt: skip

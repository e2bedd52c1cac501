"""From the firm's score to what stands on paper; figures are in 100, as the score has them."""

from __future__ import annotations

import msgspec

from wainscot.papers.said import Say
from wainscot.score import Row, Score, Share

_WORDS = {
    "open": "said_open",
    "check first": "said_check",
    "leave": "said_leave",
    "can't tell yet": "said_unsure",
}
NOTHING = "\N{EN DASH}"


class RowSaid(msgspec.Struct, frozen=True):
    """How one advice did, in words."""

    said: str
    found: str
    share: str
    interval: str
    claimed: str
    houses: str


class View(msgspec.Struct, frozen=True):
    """The firm's score."""

    jobs: str
    rows: tuple[RowSaid, ...]
    callbacks: str
    """So many of so many jobs."""
    share: str
    """Of the jobs, those that were called back."""
    interval: str
    left_out: tuple[str, ...]
    """What is not counted."""


def view(score: Score, say: Say) -> View | None:
    """Return what the score says; None where no job is closed.

    Parameters
    ----------
    score : Score
        Of :func:`wainscot.score.score_of`.
    say : Say
        Says the words of the paper.
    """
    if not score.jobs:
        return None
    left_out = (("not_drawn", score.not_drawn), ("in_part", score.left_out))
    back = score.callbacks
    return View(
        str(score.jobs), tuple(_row(one, say) for one in score.rows),
        say.word("of_jobs", n=back.hits, of=back.of), *_shares(back, say),
        tuple(say.word(key, n=n) for key, n in left_out if n),
    )  # fmt: skip


def _row(row: Row, say: Say) -> RowSaid:
    right = row.right
    said = say.word(_WORDS[row.band])
    if not right.of:
        return RowSaid(said, say.word("none_opened"), *[NOTHING] * 4)
    key = "clean" if row.band == "leave" else "soiled"
    claimed = NOTHING if row.claimed is None else _in_hundred(row.claimed)
    return RowSaid(said, say.word(key, n=right.hits, of=right.of), *_shares(right, say), claimed,
                   str(row.jobs))  # fmt: skip


def _shares(share: Share, say: Say) -> tuple[str, str]:
    """Return a share and its interval."""
    low, high = _in_hundred(share.low), _in_hundred(share.high)
    return _in_hundred(share.share), say.word("between", low=low, high=high)


def _in_hundred(share: float) -> str:
    return f"{100 * share:.0f}"

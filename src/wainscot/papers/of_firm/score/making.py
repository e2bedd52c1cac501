"""The score as a sheet that is set like every paper."""

from __future__ import annotations

import hashlib

import msgspec

from wainscot import __version__
from wainscot.papers.kinds import Paper
from wainscot.papers.of_firm.score.view import view
from wainscot.papers.printing import Head, Sheet, Size
from wainscot.papers.proof import Given
from wainscot.papers.said import Say
from wainscot.score import Score

_PAPER = Paper("score", "wainscot.papers.of_firm")
_FIGURES = 10


def score_sheet(
    score: Score, *, date: str = "", language: str = "en", size: Size = "a4"
) -> Sheet | None:
    """Return the firm's score as a paper; None where no job is closed.

    Parameters
    ----------
    score : Score
        Of :func:`wainscot.score.score_of`.
    date : str
        Day that stands on it, ``2026-05-12``; never read from a clock.
    language : str
        One of :data:`wainscot.papers.said.LANGUAGES`.
    size : {"a4", "us-letter"}
        Of the paper.
    """
    words = _PAPER.words(language)
    say = Say(language, (), words)
    told = view(score, say)
    if told is None:
        return None
    packed = msgspec.json.encode(score, order="deterministic")
    head = Head(
        words["title"], say.word("of_all", n=told.jobs), "",
        hashlib.sha256(packed).hexdigest()[:_FIGURES], "", __version__, say.day(date), date,
        language, words["calculated"], words["judged"], given=Given((words["head_none"],)),
    )  # fmt: skip
    return Sheet(_PAPER.name, size, head, words, told, {}, _PAPER.page())

"""Which papers a job can have now, and one of them whole: PDF, pages to look at, what it rests on.

    told = can_be_made(known)                  # every kind, with what it still lacks
    made = make("quote", known, language="es") # Made, or None

Pages are drawings (SVG) of the same sheet as the PDF, so that a screen without a reader of PDF
shows them sharp at any size, also without signal.
"""

from __future__ import annotations

import gzip

import msgspec

from wainscot.papers.answers import Answers
from wainscot.papers.kinds import papers
from wainscot.papers.printing import Size, as_pdf, as_svg_pages, sheet
from wainscot.papers.said import LANGUAGES


class CanBe(msgspec.Struct, frozen=True):
    """One kind of paper: whether a job has something to say on it now."""

    kind: str
    title: dict[str, str]
    """By language."""
    lacks: dict[str, str]
    """Why it cannot be made yet, by language; empty where it can."""


class Made(msgspec.Struct, frozen=True):
    """A paper, whole."""

    kind: str
    language: str
    size: str
    title: str
    version: str
    """Of the job that it tells of."""
    pdf: bytes
    pages: bytes
    """A JSON list of SVG, packed by gzip."""
    sheets: int
    """How many pages."""


def can_be_made(known: Answers) -> tuple[CanBe, ...]:
    """Return every kind of paper with what it still lacks.

    Parameters
    ----------
    known : Answers
        What the steps said.
    """
    told = []
    for name, one in papers().items():
        words = {language: one.words(language) for language in LANGUAGES}
        there = one.view(known, one.say(known.job, LANGUAGES[0])) is not None
        title = {language: str(its["title"]) for language, its in words.items()}
        lacks = {language: str(its["nothing"]) for language, its in words.items()}
        told.append(CanBe(name, title, {} if there else lacks))
    return tuple(told)


def make(
    name: str, known: Answers, *, language: str = "en", size: Size | None = None
) -> Made | None:
    """Return a paper as PDF and as pages; None where it has nothing to say.

    Parameters
    ----------
    name, known, language, size
        As :func:`wainscot.papers.printing.sheet` takes them.
    """
    made = sheet(name, known, language=language, size=size)
    if made is None:
        return None
    pages = as_svg_pages(made)
    packed = gzip.compress(msgspec.json.encode([one.decode() for one in pages]), 6, mtime=0)
    return Made(name, language, made.size, made.head.paper, made.head.version, as_pdf(made),
                packed, len(pages))  # fmt: skip

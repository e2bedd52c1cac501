"""A paper for a job, in a language and a size: as PDF, as pictures, as JSON.

    made = sheet("quote", known, language="es", size="us-letter")
    as_pdf(made)                # bytes, tagged (PDF/UA-1)

The page is typst; every word of the job reaches it as data, never as markup, and it may read no
file but the letters, which are shipped: the same sheet gives the same bytes on every machine.
"""

from __future__ import annotations

import base64
from importlib import resources
from typing import Any, Literal

import msgspec

from wainscot import __version__
from wainscot.drawing import Drawing
from wainscot.drawing.layout import on_paper
from wainscot.errors import InputError, unknown_word
from wainscot.papers.answers import Answers, Photo
from wainscot.papers.kinds import Paper, papers
from wainscot.papers.letters import all_fitting, fitting, visible
from wainscot.papers.pictured import Pictured
from wainscot.papers.proof import Given, code_of, given
from wainscot.papers.said import LANGUAGES, with_erased
from wainscot.papers.setting import compiled, drawn
from wainscot.papers.signed import Signed, signed

Size = Literal["a4", "us-letter"]


class Head(msgspec.Struct, frozen=True):
    """What stands on every page, and what the whole paper rests on."""

    paper: str
    """Its title."""
    job: str
    """Title of the job."""
    id: str
    """Of the job."""
    version: str
    """First figures of the job's own digest."""
    record: str
    """First figures of the record's head; empty for a job file."""
    tool: str
    """Version of the program."""
    date: str
    """In words; empty where the job has none."""
    day: str
    """``2026-05-12``; empty where the job has none."""
    language: str
    calculated: str
    judged: str
    signed: tuple[Signed, ...] = ()
    """Who signed it on the screen."""
    given: Given = Given(())
    """Head of the record that was given out with it."""


class Sheet(msgspec.Struct, frozen=True):
    """A paper ready to be set."""

    name: str
    size: Size
    head: Head
    words: dict[str, Any]
    view: Any
    photos: dict[str, Photo]
    page: str
    """Source of its page, which follows the frame."""


def size_of(known: Answers) -> Size:
    """Return the size of paper that is usual where the job is."""
    return "us-letter" if known.plan.country in ("US", "CA") else "a4"


def sheet(
    name: str, known: Answers, *, language: str = "en", size: Size | None = None
) -> Sheet | None:
    """Return a paper for a job; None where it has nothing to say.

    Parameters
    ----------
    name : str
        One of :func:`wainscot.papers.kinds.papers`.
    known : Answers
        What the steps said.
    language : str
        One of :data:`wainscot.papers.said.LANGUAGES`.
    size : {"a4", "us-letter"}, optional
        As it is usual in the job's country if left out.

    Raises
    ------
    InputError
        If there is no such paper or language.
    """
    paper = _paper(name)
    if language not in LANGUAGES:
        raise InputError([unknown_word("unknown-paper", "language", "language", language,
                                       LANGUAGES)])  # fmt: skip
    say = paper.say(known.job, language)
    view = paper.view(known, say)
    if view is None:
        return None
    words = paper.words(language)
    head = Head(
        words["title"], known.job.title or words["untitled"], known.job.id, known.version,
        known.head[:10], __version__, say.day(known.date), known.date, language,
        words["calculated"], words["judged"], signed(name, known, say),
        given(known.given, say, recorded=bool(known.head)),
    )  # fmt: skip
    return Sheet(name, size or size_of(known), head, words, view, known.photos,
                 paper.page())  # fmt: skip


def _paper(name: str) -> Paper:
    if name not in papers():
        raise InputError([unknown_word("unknown-paper", "name", "paper", name, papers())])
    return papers()[name]


def as_pdf(made: Sheet) -> bytes:
    """Return a paper as PDF, tagged for readers by ear.

    Parameters
    ----------
    made : Sheet
        The paper.

    Raises
    ------
    MissingPackageError
        If typst is not installed.
    """
    pdf: bytes = _compile(made, "pdf", pdf_standards="ua-1", timestamp=0)
    return pdf


def as_png(made: Sheet, ppi: float = 110.0) -> list[bytes]:
    """Return every page as a picture.

    Parameters
    ----------
    made : Sheet
        The paper.
    ppi : float
        Points of the picture to an inch. [1]

    Raises
    ------
    MissingPackageError
        If typst is not installed.
    """
    pages = _compile(made, "png", ppi=ppi)
    return pages if isinstance(pages, list) else [pages]


def as_svg_pages(made: Sheet) -> list[bytes]:
    """Return every page as a drawing that is sharp at any size.

    Parameters
    ----------
    made : Sheet
        The paper.

    Raises
    ------
    MissingPackageError
        If typst is not installed.
    """
    pages = _compile(made, "svg")
    return pages if isinstance(pages, list) else [pages]


def as_json(made: Sheet) -> bytes:
    """Return head and view as JSON: every figure that the paper shows, drawings by their letters.

    Parameters
    ----------
    made : Sheet
        The paper.
    """
    told = {"paper": made.name, "head": _plain(made.head), "view": _plain(made.view)}
    return with_erased(
        msgspec.json.encode(told, order="sorted").decode(), made.head.language
    ).encode()


def _compile(made: Sheet, form: str, **options: Any) -> Any:
    frame = (resources.files(__package__) / "frame.typ").read_text("utf-8")
    source = f"{frame}\n{made.page}".encode()
    return compiled(source, form, {"data": _packed(made)}, "a paper", **options)


def _packed(made: Sheet) -> str:
    content = {
        "head": all_fitting(_plain(made.head)), "words": made.words, "paper": made.size,
        "view": _plain(made.view, made.photos), "code": code_of(made.head.given.text),
    }  # fmt: skip
    packed = visible(msgspec.json.encode(content, order="sorted").decode())
    return with_erased(packed, made.head.language)


def _plain(value: Any, photos: dict[str, Photo] | None = None) -> Any:
    """Return a view as plain values; for the page with its drawings and photos as SVG."""
    if isinstance(value, Drawing):
        return _letters_of(value) if photos is None else drawn(value)
    if isinstance(value, msgspec.Struct):
        told = {name: _plain(getattr(value, name), photos) for name in value.__struct_fields__}
        if photos is not None and isinstance(value, Pictured):
            told["svg"] = _wrapped(photos[value.digest])
        return told
    if isinstance(value, dict):
        return {key: _plain(one, photos) for key, one in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(one, photos) for one in value]
    return fitting(value) if isinstance(value, str) and photos is not None else value


def _letters_of(drawing: Drawing) -> dict[str, Any]:
    marks = [one.text for one in drawing.letters] + [one.text for one in drawing.signs if one.text]
    scale = f"1:{on_paper(drawing).scale:g}"
    return {"title": drawing.title, "about": drawing.about, "marks": marks, "scale": scale}


def _wrapped(photo: Photo) -> str:
    """Return a photo as SVG that holds it: the page can be given text and reads no file."""
    packed = base64.b64encode(photo.jpeg).decode()
    size = f'width="{photo.width}" height="{photo.height}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>'
        f'<image {size} href="data:image/jpeg;base64,{packed}"/></svg>'
    )

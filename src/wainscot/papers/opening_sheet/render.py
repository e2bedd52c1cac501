"""The sheet as PDF, as pictures of its pages, and its drawings as SVG and DXF files.

The page is typst; every word of the job reaches it as data, never as markup, and it may read no
file.  The letters are shipped, so that the same sheet gives the same bytes on every machine.

Limits: Latin, Greek, Cyrillic, Hebrew and Arabic letters; others come out as empty boxes.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib import resources
from typing import Any, Literal

import msgspec

from wainscot.drawing import Drawing, as_dxf, as_svg
from wainscot.languages import ENGLISH
from wainscot.papers.letters import all_fitting, visible
from wainscot.papers.opening_sheet.model import SheetView
from wainscot.papers.said import with_erased
from wainscot.papers.setting import compiled, drawn

Size = Literal["page", "half"]
"""``page``: A4 or letter on its side, one page an opening.  ``half``: its halves one after the
other, for a telephone."""


def as_pdf(view: SheetView, size: Size = "page", language: str = ENGLISH) -> bytes:
    """Return the sheet as PDF.

    Parameters
    ----------
    view : SheetView
        The sheet.
    size : {"page", "half"}
        One page an opening, or half a page at a time.
    language : str
        Of the page's own words; the view is given in it (:func:`spoken`).

    Raises
    ------
    MissingPackageError
        If typst is not installed.
    """
    made: bytes = _compile(view, size, "pdf", language)
    return made


def as_png(view: SheetView, size: Size = "page", ppi: float = 144.0) -> list[bytes]:
    """Return every page as a picture.

    Parameters
    ----------
    view : SheetView
        The sheet.
    size : {"page", "half"}
        One page an opening, or half a page at a time.
    ppi : float
        Points of the picture to an inch. [1]

    Raises
    ------
    MissingPackageError
        If typst is not installed.
    """
    made = _compile(view, size, "png", ENGLISH, ppi=ppi)
    return made if isinstance(made, list) else [made]


def svg_files(view: SheetView, language: str = ENGLISH) -> dict[str, str]:
    """Return every drawing as SVG text, by file name.

    Parameters
    ----------
    view : SheetView
        The sheet.
    language : str
        That the view is given in.
    """
    return {f"{one.key}.svg": as_svg(one) for one in alone(view, language)}


def dxf_files(view: SheetView, language: str = ENGLISH) -> dict[str, bytes]:
    """Return every drawing as DXF, by file name.

    Parameters
    ----------
    view : SheetView
        The sheet.
    language : str
        That the view is given in.

    Raises
    ------
    MissingPackageError
        If ezdxf is not installed.
    """
    return {f"{one.key}.dxf": as_dxf(one) for one in alone(view, language)}


def alone(view: SheetView, language: str = ENGLISH) -> Iterator[Drawing]:
    """Yield every drawing ready to go alone: its note says of what, and whether it may be cut by.

    Parameters
    ----------
    view : SheetView
        The sheet.
    language : str
        That the view is given in.
    """
    said = words(language)
    parts = (view.title, view.date, f"{said['job']} {view.version}")
    of = ", ".join(part for part in parts if part)
    for one in view.plans:
        yield msgspec.structs.replace(one, note=f"{of}. {said['alone']}")
    for page in view.pages:
        stamp = said["alone_opening"].format(n=page.number, stamp=page.stamp_words)
        for one in (page.where, *page.drawings):
            yield msgspec.structs.replace(one, note=f"{stamp} {of}.")


def words(language: str) -> dict[str, str]:
    """Return the words of the page itself, by their keys.

    Raises
    ------
    FileNotFoundError
        If the sheet is not written in the language.
    """
    file = resources.files(__package__) / f"words.{language}.toml"
    return tomllib.loads(file.read_text("utf-8"))


def _compile(view: SheetView, size: Size, form: str, language: str, **options: Any) -> Any:
    page = (resources.files(__package__) / "page.typ").read_bytes()
    inputs = {"data": _packed(view, language), "size": size}
    return compiled(page, form, inputs, "the opening sheet", timestamp=0, **options)


def _packed(view: SheetView, language: str) -> str:
    """The sheet as JSON, its drawings as SVG text beside their sizes on paper."""
    content = all_fitting(msgspec.to_builtins(view))
    content["words"] = words(language)
    content["language"] = language
    content["plans"] = [drawn(one) for one in view.plans]
    for told, page in zip(content["pages"], view.pages, strict=True):
        told["where"] = drawn(page.where)
        told["drawings"] = [drawn(one) for one in page.drawings]
    return with_erased(
        visible(msgspec.json.encode(content, order="deterministic").decode()), language
    )

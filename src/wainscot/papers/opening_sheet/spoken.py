"""An opening sheet in another language: its sentences by the phrasebook, its figures as they are.

    spoken(view, "es", names_in(job.entities), quoted_in(job.entities))

Limits: what the phrasebook does not know stays English; keys, labels, lengths and what people typed
are not touched.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import msgspec

from wainscot import languages
from wainscot.papers.opening_sheet.model import Released, SheetView
from wainscot.papers.said import told

TOLD = frozenset({
    "about", "amount", "basis", "cautions", "date", "declined", "defer", "evidence", "facts",
    "first", "hazard", "hours", "labels", "letters", "limits", "marks", "near", "notes", "patch",
    "place", "plans", "drawings", "where", "holds", "released", "reached", "pages", "lines", "said",
    "stamp_words", "summary", "text", "title", "what", "who", "why", "words",
})  # fmt: skip
"""Fields that hold sentences, or what holds some in turn."""

TYPED: dict[type[Any], frozenset[str]] = {
    Released: frozenset({"evidence"}),
    SheetView: frozenset({"title"}),
}
"""Of them, what a person wrote."""


def spoken(
    view: SheetView, language: str, names: Iterable[str] = (), quoted: Iterable[str] = ()
) -> SheetView:
    """Return a sheet in another language.

    Parameters
    ----------
    view : SheetView
        The sheet, in English.
    language : str
        ``en``, or one of :func:`wainscot.languages.languages`.
    names : iterable of str
        What people typed and what stays as it is.
    quoted : iterable of str
        What else people typed and sentences quote.

    Raises
    ------
    KeyError
        If there is no phrasebook of the language.
    """
    if language == languages.ENGLISH:
        return view
    kept, also = (*names, view.title), tuple(quoted)
    said: SheetView = _spoken(view, lambda text: told(text, language, kept, also).text)
    return said


def _spoken(part: Any, say: Callable[[str], str]) -> Any:
    if isinstance(part, str):
        return say(part)
    if isinstance(part, tuple):
        return tuple(_spoken(one, say) for one in part)
    if not isinstance(part, msgspec.Struct):
        return part
    typed = TYPED.get(type(part), frozenset())
    return msgspec.structs.replace(part, **{
        name: _spoken(getattr(part, name), say)
        for name in part.__struct_fields__
        if name in TOLD - typed
    })  # fmt: skip

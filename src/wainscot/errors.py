"""Every message that a user can meet: what is wrong, where, and what to do next.

A step that finds something wrong with the input does not stop at the first fault.  It collects
:class:`Fault` values and raises one :class:`InputError` that holds them all, so that a person can
mend a file in one go.  ``path`` is the place in the job file, written as the file is nested:
``entities.room_kitchen.polygon[3]``.

>>> str(Fault("unknown-field", "entities.r1.nmae", "no field is called 'nmae'", "write 'name'"))
"entities.r1.nmae: no field is called 'nmae'; write 'name' [unknown-field]"
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence

import msgspec


class Fault(msgspec.Struct, frozen=True, order=True):
    """One thing that is wrong in the input.

    ``code`` is stable and listed in ``docs/errors.md``; ``cure`` says what to do next.  Characters
    that a screen cannot show are escaped, for a job file may hold anything.
    """

    code: str
    path: str
    what: str
    cure: str

    def __post_init__(self) -> None:
        for name in ("path", "what", "cure"):
            msgspec.structs.force_setattr(self, name, printable(getattr(self, name)))

    def __str__(self) -> str:
        return f"{self.path}: {self.what}; {self.cure} [{self.code}]"


class WainscotError(Exception):
    """Base of every error that the project raises on purpose."""


class InputError(WainscotError):
    """The input cannot be used; ``faults`` says why, all at once."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


def printable(text: str) -> str:
    """Return text that any screen can show on one line, other characters escaped.

    Parameters
    ----------
    text : str
        Any text, as typed.
    """
    return "".join(
        one if one.isprintable() else one.encode("unicode_escape").decode() for one in text
    )


def nearest(word: str, words: Iterable[str]) -> str:
    """Return the known word most like a mistyped one, or an empty string if none is like it.

    Parameters
    ----------
    word : str
        What was typed.
    words : iterable of str
        What is known.
    """
    known = {one.lower().replace("_", " "): one for one in words}
    close = difflib.get_close_matches(word.lower().replace("_", " "), known, n=1, cutoff=0.6)
    return known[close[0]] if close else ""


def unknown_word(code: str, path: str, what: str, word: str, words: Iterable[str]) -> Fault:
    """Return the fault for a word that nobody knows, with the nearest one or the whole list.

    Parameters
    ----------
    code : str
        Code of the fault.
    path : str
        Place in the job file.
    what : str
        What sort of word it is: ``sign kind``.
    word : str
        What was typed.
    words : iterable of str
        What is known.
    """
    known = sorted(words)
    like = nearest(word, known)
    cure = f"write {like!r}" if like else f"use one of: {', '.join(known)}"
    shown = word if len(word) <= 60 else f"{word[:60]}..."
    return Fault(code, path, f"no {what} is called {shown!r}", cure)

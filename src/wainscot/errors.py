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


MOST_WORDS = 40
"""Known words that a cure lists."""


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
    rest = f" and {len(known) - MOST_WORDS} more" if len(known) > MOST_WORDS else ""
    cure = f"write {like!r}" if like else f"use one of: {', '.join(known[:MOST_WORDS])}{rest}"
    shown = word if len(word) <= 60 else f"{word[:60]}..."
    return Fault(code, path, f"no {what} is called {shown!r}", cure)


SERVER = {
    fault.code: fault
    for fault in (
        Fault("no-login", "", "nobody is logged in", "log in and try again"),
        Fault("wrong-login", "", "name and password do not belong together, or the account is shut",
              "type them again, or ask the office"),
        Fault("wrong-password", "", "the present password is not right; nothing was changed",
              "type the one that you log in with; if it is lost, the office sets another"),
        Fault("password-length", "", "a password has 12 to 200 characters",
              "type a longer one; several words will do"),
        Fault("own-password", "", "beside names and words that anybody would try, that password "
              "has fewer than 8 letters and digits, so it is guessed soon",
              "take several words that nobody links with you or the firm"),
        Fault("common-password", "", "that password stands on a list of those that were found out "
              "elsewhere, and such are tried first",
              "take several words that do not belong together"),
        Fault("wrong-code", "", "that code is not good; each serves once and for ten minutes",
              "have the office make another"),
        Fault("no-link", "", "that link leads nowhere: it ended, was taken back, or is not whole",
              "ask who sent it for another"),
        Fault("not-allowed", "", "this account may not do that", "ask the office"),
        Fault("not-on-job", "", "this account is not on that job", "ask who leads it"),
        Fault("no-device", "", "this device is not registered", "register it, then send again"),
        Fault("other-site", "", "the request came from another site",
              "open the firm's own address"),
        Fault("other-host", "", "this server does not go by that name",
              "use the address it printed"),
        Fault("not-found", "", "there is nothing at that address", "check it"),
        Fault("wrong-method", "", "that cannot be done at this address", "check the method"),
        Fault("bad-request", "", "the request is not of the right shape", "mend what is listed"),
        Fault("too-large", "", "that is more than is taken at once", "send it in smaller parts"),
        Fault("wrong-media", "", "bytes of that kind are not taken", "send what is asked for"),
        Fault("no-photo", "", "the bytes are no whole photo", "take it again"),
        Fault("too-many-pixels", "", "the photo has more pixels than are taken", "take it smaller"),
        Fault("other-bytes", "", "the bytes that arrived have another hash", "send them again"),
        Fault("wrong-range", "", "the part does not follow on what is held",
              "go on from the byte that Upload-Offset names"),
        Fault("too-often", "", "too many requests", "wait the seconds that Retry-After names"),
        Fault("disk-full", "", "the office's disk is full; nothing was written",
              "keep your copy and tell the office"),
        Fault("record-refused", "", "the record cannot do that", "do what the details say"),
        Fault("not-ready", "", "the server is not ready", "try again in a minute"),
        Fault("not-calculated", "", "there is no answer yet", "wait for it, or ask for a walk"),
        Fault("server-error", "", "the server failed; nothing was half done",
              "try again, and give the office the number of the request"),
    )
}  # fmt: skip
"""What the server tells, by code; ``docs/errors.md`` lists them too."""

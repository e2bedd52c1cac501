"""Who signed a paper on the screen, and whether the job has changed since, as it stands on it."""

from __future__ import annotations

import re

import msgspec

from wainscot.job import Signature, typed
from wainscot.papers.answers import Answers
from wainscot.papers.said import Say

_STROKES = re.compile(r"(?:[ML]\d{1,3} \d{1,3})*")


class Signed(msgspec.Struct, frozen=True):
    """One signature."""

    by: str
    """Name, and for whom they sign."""
    about: str
    """When, for which version of the job, and the first figures of the paper that they saw."""
    changed: str
    """That the job has changed since; empty where it has not."""
    strokes: str
    """What the finger drew: path data of SVG in a box 320 wide and 120 high."""


def signed(name: str, known: Answers, say: Say) -> tuple[Signed, ...]:
    """Return the signatures on a kind of paper, the oldest first.

    Parameters
    ----------
    name : str
        Kind of paper.
    known : Answers
        What the steps said.
    say : Say
        Who says the paper's words.
    """
    found = [one for one in typed(known.job).values()
             if isinstance(one, Signature) and one.paper == name]  # fmt: skip
    return tuple(_signed(one, known, say) for one in sorted(found, key=lambda one: one.at))


def _signed(one: Signature, known: Answers, say: Say) -> Signed:
    role = say.word(f"signs_{one.role}") if one.role else ""
    about = say.word("signed_about", moment=say.moment(one.at), version=one.version,
                     digest=one.digest[:16])  # fmt: skip
    changed = say.word("signed_changed") if one.version != known.version else ""
    drawn = one.signature if _STROKES.fullmatch(one.signature) else ""
    return Signed(", ".join(part for part in (one.by, role) if part), about, changed, drawn)

"""The signed head of the record on a paper: three lines, and the code that holds it whole.

    told = given(known.given, say, recorded=True)      # Given("Record: 340 events, ...", ...)

Whoever holds the paper can ask later whether the record still is what it was that day.

Limits: a paper that was made from a job file has none, and says so.
"""

from __future__ import annotations

import io

import msgspec

from wainscot.papers.said import Say
from wainscot.record import grouped, head_of, key_name


class Given(msgspec.Struct, frozen=True):
    """What a paper says of the record's head."""

    lines: tuple[str, ...]
    text: str = ""
    """What the code holds; empty where there is no head."""


def given(text: str, say: Say, *, recorded: bool) -> Given:
    """Return what a paper says of a head.

    Parameters
    ----------
    text : str
        Of :func:`wainscot.record.text_of`; empty where there is none.
    say : Say
        Says the words of the paper.
    recorded : bool
        Whether it was made from a record, which then could not sign.
    """
    if not text:
        return Given((say.word("head_unsigned" if recorded else "head_none"),))
    head = head_of(text)
    lines = (
        say.word("head_given", n=head.size, at=head.time),
        say.word("head_root", root=grouped(head.root)),
        say.word("head_key", named=key_name(head.key)),
    )
    return Given(lines, text)


def code_of(text: str) -> str:
    """Return the code of a head as SVG; empty where there is none, or nothing that draws it.

    Parameters
    ----------
    text : str
        What it holds.
    """
    if not text:
        return ""
    try:
        import segno
    except ImportError:  # the lines say the same
        return ""
    out = io.BytesIO()
    drawn = segno.make(text, error="m", micro=False)
    drawn.save(
        out, kind="svg", border=2, xmldecl=False, dark="#1B2226", svgclass=None, lineclass=None
    )
    return out.getvalue().decode()

"""What was found of a record, one thing a line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wainscot.store.database import Finding

_SHOWN = 10  # faults of one kind that are told one by one


def bad(what: str, text: str) -> Finding:
    """Return a fault.

    Parameters
    ----------
    what : str
        What was looked at.
    text : str
        What is wrong.
    """
    return Finding(what, "bad", text)


def told(what: str, faults: Sequence[str], good: str) -> Iterator[Finding]:
    """Give the first faults and how many more there are, or what is good where there are none.

    Parameters
    ----------
    what : str
        What was looked at.
    faults : sequence of str
        Each in words.
    good : str
        What to say without any.
    """
    if not faults:
        yield Finding(what, "good", good)
    for one in faults[:_SHOWN]:
        yield bad(what, one)
    if len(faults) > _SHOWN:
        yield bad(what, f"and {len(faults) - _SHOWN} more")

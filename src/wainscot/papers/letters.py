"""What may reach a page: no control signs, nothing that turns the order, nothing without an end.

Limits: Latin, Greek, Cyrillic, Hebrew and Arabic letters; others come out as empty boxes.
"""

from __future__ import annotations

import re
from typing import Any

LONGEST = 1200
"""A text of a page; more of it is in the job. [characters]"""
UNBROKEN = 34
"""Signs in a row after which a line may break. [characters]"""

# A backslash that somebody typed stands as two in JSON; what follows them is no sign of its own.
_BAD = re.compile(r"(\\\\)|\\u00[01][0-9a-f]|[\u202a-\u202e\u2066-\u2069]")
_RIGHT_TO_LEFT = "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefe]"
_RUN = re.compile(f"{_RIGHT_TO_LEFT}+(?: +{_RIGHT_TO_LEFT}+)*")
_UNBROKEN = re.compile(rf"\S{{{UNBROKEN}}}(?=\S)")


def visible(packed: str) -> str:
    """Return JSON without control characters and signs that turn the order of what follows.

    Words from right to left are set apart, so that figures beside them stay where they stand.

    Parameters
    ----------
    packed : str
        JSON text.
    """
    bare = _BAD.sub(lambda bad: bad[1] or " ", packed)
    return _RUN.sub("\u2068\\g<0>\u2069", bare)


def fitting(text: str) -> str:
    """Return a text that fits a page: cut where it has no end, with places to break a line.

    Parameters
    ----------
    text : str
        As typed.
    """
    kept = text if len(text) <= LONGEST else f"{text[:LONGEST]}\u2026"
    return _UNBROKEN.sub("\\g<0>\u200b", kept)


def all_fitting(value: Any) -> Any:
    """Return plain values with every text of them fitting a page; keys stay.

    Parameters
    ----------
    value : Any
        Texts, numbers, and lists and dicts of them.
    """
    if isinstance(value, str):
        return fitting(value)
    if isinstance(value, dict):
        return {key: all_fitting(one) for key, one in value.items()}
    if isinstance(value, tuple | list):
        return [all_fitting(one) for one in value]
    return value

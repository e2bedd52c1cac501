"""Personal texts taken out of what is hashed, and put back when a job is folded.

In the event stands ``{"personal": HASH}``, the SHA-256 of 32 random bytes and the canonical text;
bytes and text stand beside the event, where they can be taken away without any hash changing.

>>> salts = iter(["00" * 32])
>>> room, opened = cover({"kind": "room", "name": "Ana's room"}, lambda: next(salts))
>>> room["kind"], sorted(room["name"])
('room', ['personal'])
>>> uncover(room, opened)
{'kind': 'room', 'name': "Ana's room"}
>>> uncover(room, {})
{'kind': 'room', 'name': '(erased)'}

Limits: whoever has copied a text keeps it.  A text that is missing reads as erased.
"""

from __future__ import annotations

import hashlib
import re
import secrets
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from wainscot.job.personal import PERSONAL, left_of
from wainscot.record.form import RecordError, canonical

MARK = "personal"
"""Name under which the hash of a text stands in its place."""

Opened = tuple[str, Any]
"""Salt as 64 figures, and the text."""

_HASH = re.compile(r"[0-9a-f]{64}")


def fresh_salt() -> str:
    """Return 32 random bytes as hexadecimal figures."""
    return secrets.token_hex(32)


def commitment(salt: str, value: Any) -> str:
    """Return the hash that stands for a text.

    Parameters
    ----------
    salt : str
        64 hexadecimal figures, small letters.
    value : object
        Plain JSON.

    Raises
    ------
    RecordError
        If the salt is none.
    """
    if not _HASH.fullmatch(salt):
        raise RecordError("a salt has 64 figures")
    return hashlib.sha256(bytes.fromhex(salt) + canonical(value)).hexdigest()


def cover(
    value: Any, salt: Callable[[], str] = fresh_salt, field: str = ""
) -> tuple[Any, dict[str, Opened]]:
    """Return a value with its personal texts covered, and what opens them, by hash.

    Parameters
    ----------
    value : object
        Plain JSON.
    salt : callable
        Gives a new salt at each call.
    field : str
        Name of the field that the value stands in.
    """
    opened: dict[str, Opened] = {}

    def hidden(one: Any, name: str) -> Any:
        if isinstance(one, str) and one and name in PERSONAL:
            made = salt()
            key = commitment(made, one)
            opened[key] = (made, one)
            return {MARK: key}
        if isinstance(one, dict):
            return {inner: hidden(each, inner) for inner, each in one.items()}
        if isinstance(one, list | tuple):
            return [hidden(each, name) for each in one]
        return one

    return hidden(value, field), opened


def uncover(value: Any, opened: Mapping[str, Opened], field: str = "") -> Any:
    """Return a value with the texts that are there put back; the others read as erased.

    Parameters
    ----------
    value : object
        As :func:`cover` gives it.
    opened : mapping
        What opens it, by hash.
    field : str
        Name of the field that the value stands in.
    """
    if isinstance(value, dict):
        if key := _hash_in(value):
            return opened[key][1] if key in opened else left_of(field)
        return {name: uncover(one, opened, name) for name, one in value.items()}
    if isinstance(value, list):
        return [uncover(one, opened, field) for one in value]
    return value


def hashes_in(value: Any) -> Iterator[str]:
    """Give the hashes of the texts that are covered in a value."""
    if isinstance(value, dict):
        if key := _hash_in(value):
            yield key
        else:
            for one in value.values():
                yield from hashes_in(one)
    elif isinstance(value, list):
        for one in value:
            yield from hashes_in(one)


def covered(value: Any) -> bool:
    """Whether a value is the hash of a text in its place."""
    return isinstance(value, dict) and bool(_hash_in(value))


def _hash_in(value: dict[str, Any]) -> str:
    key = value.get(MARK) if len(value) == 1 else None
    return key if isinstance(key, str) and _HASH.fullmatch(key) else ""

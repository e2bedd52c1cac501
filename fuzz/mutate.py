"""Changes to JSON that keep it JSON, so that more than the parser of JSON is tried.

Half of the changes are the fuzzer's own, of bytes; the others swap, copy, take out or repeat a part
of one value, or put one of the words below in its place.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from typing import Any

ODD: tuple[Any, ...] = (
    None, True, False, 0, 1, -1, 0.5, 2**31, 2**53, 2**63, 2**64, -(2**63), 1e-300, 1e308, -0.0,
    float("nan"), float("inf"), 10**400, "", " ", "0", "-1", "\0", "\n", "\ud800", "\u202e", "é",
    "?", "?1", "nan", "1e999 m", "-3 m", "9" * 400, "10 ft 6 in", "2025-03-14", "9999-12-31T24:00",
    "0001-01-01T00:00:00+23:59", "a.b", "a/b", "a" * 300, [], {}, [0, 0], {"value": 1},
    {"personal": "ab" * 32}, {"": ""},
)  # fmt: skip
"""Values at the edge of what JSON, a number, a text, a time or a length can be."""


def mutated(data: bytes, most: int, seed: int, of_bytes: Callable[[bytes, int], bytes]) -> bytes:
    """Return an input that is changed at one place or a few.

    Parameters
    ----------
    data : bytes
        An input: JSON, or lines some of which are JSON.
    most : int
        Greatest length of what is returned. [bytes]
    seed : int
        The same seed gives the same change.
    of_bytes : callable
        The fuzzer's own change.
    """
    chance = random.Random(seed)
    if chance.random() < 0.5:
        return of_bytes(data, most)
    begin, json_part, end = _part(data, chance)
    try:
        value = json.loads(json_part)
        for _ in range(chance.randrange(1, 4)):
            value = _changed(value, chance)
        made = begin + json.dumps(value, ensure_ascii=chance.random() < 0.7).encode() + end
    except (ValueError, RecursionError, OverflowError):  # a surrogate in UTF-8 too
        return of_bytes(data, most)
    return made if len(made) <= most else of_bytes(data, most)


def _part(data: bytes, chance: random.Random) -> tuple[bytes, bytes, bytes]:
    """Return what stands before a part that may be JSON, the part, and what stands after."""
    name, found, content = data.partition(b"\n")
    if found and b"{" not in name:  # an input whose first line says what it is for
        before, inner, after = _of_lines(content, chance)
        return name + b"\n" + before, inner, after
    return _of_lines(data, chance)


def _of_lines(data: bytes, chance: random.Random) -> tuple[bytes, bytes, bytes]:
    whole = data.strip()
    lines = data.splitlines(keepends=True)
    if len(lines) < 2 or (whole.startswith(b"{") and not lines[0].rstrip().endswith(b"}")):
        return b"", data, b""
    n = chance.randrange(len(lines))
    end = b"\n" if lines[n].endswith(b"\n") else b""
    return b"".join(lines[:n]), lines[n], end + b"".join(lines[n + 1 :])


Slot = tuple[Any, Any]
"""An object or a list, and a name or a place in it."""


def _slots(value: Any) -> list[Slot]:
    found: list[Slot] = []
    waiting = [value]
    while waiting:
        one = waiting.pop()
        if isinstance(one, dict | list):
            keys = list(one) if isinstance(one, dict) else range(len(one))
            found += [(one, key) for key in keys]
            waiting += [one[key] for key in keys]
    return found


def _changed(value: Any, chance: random.Random) -> Any:
    slots = _slots(value)
    if not slots:
        return chance.choice(ODD)
    (inside, at), (other, there) = chance.choice(slots), chance.choice(slots)
    copied = json.loads(json.dumps(other[there]))
    act = chance.randrange(6)
    if act == 0:
        del inside[at]
    elif act == 1:
        inside[at] = copied
    elif act == 2 and isinstance(inside, list):
        inside.insert(at, copied)
    elif act == 2:
        inside[str(there)] = copied
    elif act == 3 and isinstance(inside, dict):
        inside[str(chance.choice(ODD))] = inside.pop(at)
    elif act == 4 and isinstance(inside[at], int | float):
        inside[at] = inside[at] * chance.choice((-1, 0.5, 2, 10, 1000)) + chance.choice((0, 1, -1))
    else:
        inside[at] = chance.choice(ODD)
    return json.loads(json.dumps(value))

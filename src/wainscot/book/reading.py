"""Reading what a firm typed, over the defaults; everything that is wrong at once.

Limits: TOML or JSON.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from datetime import date
from typing import Any, Literal, TypeVar
from zoneinfo import ZoneInfo

import msgspec

from wainscot.book.rates import DEFAULT, Book, typed_unit
from wainscot.book.team import WEEKDAYS
from wainscot.errors import Fault, InputError, unknown_word
from wainscot.sources import Cited

_LARGEST = 1e6


def read_book(text: str, form: Literal["toml", "json"] = "toml") -> Book:
    """Return the default rates with the firm's own over them.

    Parameters
    ----------
    text : str
        Content of the firm's file: a name and a number for each rate that differs.
    form : {"toml", "json"}
        How it is written.

    Raises
    ------
    InputError
        If the text cannot be read, names an unknown rate or gives one that is no positive number.
    """
    typed = _parsed(text, form)
    found = list(_faults(DEFAULT, typed, "rates"))
    if found:
        raise InputError(found)
    return _over(DEFAULT, typed)


def _parsed(text: str, form: Literal["toml", "json"]) -> dict[str, Any]:
    try:
        typed = tomllib.loads(text) if form == "toml" else json.loads(text)
    except (ValueError, RecursionError) as error:
        cure = "write one rate a line, such as open_bay = 4"
        what = f"it is not {form.upper()} ({error})"
        raise InputError([Fault("bad-book", "the rates", what, cure)]) from None
    if not isinstance(typed, dict):
        cure = 'write {"open_bay": 4}'
        raise InputError([Fault("bad-book", "the rates", "they are no object in braces", cure)])
    return typed


def _faults(default: msgspec.Struct, typed: dict[str, Any], path: str) -> Iterator[Fault]:
    names = [field.name for field in msgspec.structs.fields(default)]
    for name, value in typed.items():
        here = f"{path}.{name}"
        known = getattr(default, name, None) if name in names else None
        if name not in names:
            yield unknown_word("unknown-rate", here, "rate", name, names)
        elif isinstance(known, Cited):
            if not _is_rate(value):
                what = f"{value!r} is no rate in {typed_unit(_table(path), known.unit)}"
                yield Fault(
                    "bad-rate", here, what, f"write a number above zero, such as {name} = 4"
                )
        elif isinstance(known, msgspec.Struct):
            if isinstance(value, dict):
                yield from _faults(known, value, here)
            else:
                what = f"{value!r} is no table of rates"
                yield Fault(
                    "bad-rate", here, what, f"write [{here.removeprefix('rates.')}] above it"
                )
        elif isinstance(known, dict):
            yield from _bad_multiples(value, here)
        elif fault := _bad_text(name, value):
            yield Fault("bad-rate", here, *fault)


def _bad_multiples(value: object, path: str) -> Iterator[Fault]:
    """Say what is wrong with a table of multiples by words of our own."""
    cure = "write a number above zero, 1 for as judged"
    if not isinstance(value, dict):
        yield Fault("bad-rate", path, f"{value!r} is no table of multiples",
                    f"write [{path.removeprefix('rates.')}] above it")  # fmt: skip
        return
    for words, one in value.items():
        if not _is_rate(one):
            yield Fault("bad-rate", f"{path}.{words}", f"{one!r} is no multiple", cure)


def _bad_text(name: str, value: object) -> tuple[str, str] | None:
    """Say what is wrong with a rate that is text, and the cure; None where nothing is."""
    example = _EXAMPLES[name]
    cure = f'write {name} = "{example}"'
    words = value.split() if isinstance(value, str) else []
    if not isinstance(value, str):
        return f"{value!r} is no text", cure
    if name == "days" and (not words or not set(words) <= set(WEEKDAYS)):
        return f"{value!r} are no days of the week", cure
    if name == "off" and not all(map(_is_date, words)):
        return f"{value!r} are no dates", cure
    if name == "zone" and not _is_zone(value):
        return f"{value!r} is no time zone", cure
    return None


_EXAMPLES = {
    "currency": "USD", "days": "mon tue wed thu fri", "off": "2026-12-25",
    "zone": "America/Chicago",
}  # fmt: skip


def _is_date(word: str) -> bool:
    try:
        return date.fromisoformat(word).isoformat() == word
    except ValueError:
        return False


def _is_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True


def _is_rate(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return False
    return 0 < value <= _LARGEST


S = TypeVar("S", bound=msgspec.Struct)


def _table(path: str) -> str:
    return path.rpartition(".")[2]


def _over(default: S, typed: dict[str, Any], table: str = "") -> S:
    """Return the default with what was typed over it, all of it known to be sound."""
    own: dict[str, Any] = {}
    for name, value in typed.items():
        known = getattr(default, name)
        if isinstance(known, Cited):
            unit = typed_unit(table, known.unit)
            own[name] = Cited(float(value), unit, "the firm's own rates", name, "read")
        else:
            own[name] = _over(known, value, name) if isinstance(known, msgspec.Struct) else value
    return msgspec.structs.replace(default, **own)

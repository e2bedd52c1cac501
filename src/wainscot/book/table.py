"""The book as rows of a table, and a firm's own rates as the text of a file.

>>> from wainscot.book import DEFAULT
>>> [row.own for row in rows_of(DEFAULT, {"hour": 85}) if row.path == "hour"]
['85']
>>> print(as_toml({"hour": 85, "work": {"kick_board": 0.25}}))
hour = 85
<BLANKLINE>
[work]
kick_board = 0.25
<BLANKLINE>
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

import msgspec

from wainscot.book.rates import Book, typed_unit
from wainscot.sources import Cited


class RateRow(msgspec.Struct, frozen=True):
    """One rate: its default, what the firm typed over it, and what the default rests on."""

    path: str
    """``repair.tile.corner``, as it is typed in a file of rates."""
    unit: str
    """In which a firm types it; empty where it is text."""
    usual: str
    """The default, in ``usual_unit``."""
    usual_unit: str
    own: str
    """What the firm typed; empty where it typed nothing."""
    why: str
    standing: str
    """``judgement``, or what else the default is."""


def rows_of(book: Book, own: Mapping[str, Any]) -> list[RateRow]:
    """Return every rate of a book in its order.

    Parameters
    ----------
    book : Book
        The defaults.
    own : mapping
        What a firm typed over them, as :func:`wainscot.book.read_book` takes it.
    """
    return list(_rows(book, own, ""))


def _rows(part: msgspec.Struct, own: Mapping[str, Any], path: str) -> Iterator[RateRow]:
    for field in msgspec.structs.fields(part):
        known, here = getattr(part, field.name), f"{path}{field.name}"
        typed = own.get(field.name, "")
        if isinstance(known, Cited):
            table = path.rstrip(".").rpartition(".")[2]
            why = " ".join(one for one in (known.source, known.where) if one)
            yield RateRow(here, typed_unit(table, known.unit), f"{known.value:.4g}", known.unit,
                          _text(typed), why, known.status)  # fmt: skip
        elif isinstance(known, msgspec.Struct):
            yield from _rows(known, typed if isinstance(typed, Mapping) else {}, f"{here}.")
        elif isinstance(known, Mapping):
            for name, value in (typed if isinstance(typed, Mapping) else {}).items():
                yield RateRow(f"{here}.{name}", "", "1", "", _text(value), "as judged", "")
        else:
            yield RateRow(here, "", str(known), "", _text(typed), "", "")


def _text(typed: object) -> str:
    return f"{typed:.10g}" if isinstance(typed, float) else str(typed)


def as_toml(own: Mapping[str, Any]) -> str:
    """Return rates as the file that ``--rates`` takes.

    Parameters
    ----------
    own : mapping
        Rates that :func:`wainscot.book.read_book` takes.
    """
    return "\n".join(_tables(own, ""))


def _tables(own: Mapping[str, Any], path: str) -> Iterator[str]:
    plain = {name: value for name, value in own.items() if not isinstance(value, Mapping)}
    if plain:
        head = f"[{path}]\n" if path else ""
        # A number or a string of JSON is one of TOML too.
        body = (
            f"{_key(name)} = {json.dumps(value, ensure_ascii=False)}\n"
            for name, value in plain.items()
        )
        yield head + "".join(body)
    for name, value in own.items():
        if isinstance(value, Mapping):
            yield from _tables(value, f"{path}.{name}" if path else name)


def _key(name: str) -> str:
    """Return a name as TOML takes it: in quotes where it is words."""
    return name if name.replace("_", "").isalnum() else json.dumps(name, ensure_ascii=False)

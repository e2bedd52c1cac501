"""The firm's own rates on the server: tried, saved, and what follows from them."""

from __future__ import annotations

import json
from typing import Any

from wainscot.api.office_shapes import Follows, RatesAnswer
from wainscot.api.shapes import Trouble
from wainscot.book import (
    DEFAULT,
    Book,
    chance_to_check,
    chance_to_open,
    cost_to_check,
    cost_to_open,
    read_book,
)
from wainscot.book.table import as_toml, rows_of
from wainscot.errors import InputError
from wainscot.store import FirmRates, Store, firm_rates, keep_rates


def book_of(text: str) -> Book:
    """Return the book of a firm; the defaults where it saved nothing.

    Parameters
    ----------
    text : str
        JSON as it was saved, or nothing.
    """
    return read_book(text, "json") if text else DEFAULT


def tried(rates: dict[str, Any]) -> tuple[list[Trouble], Follows | None]:
    """Return what is wrong with rates, else what follows from them.

    Parameters
    ----------
    rates : dict
        As typed.
    """
    try:
        return [], _follows(read_book(json.dumps(rates), "json"))
    except InputError as error:
        return [Trouble(one.code, one.path, one.what, one.cure) for one in error.faults], None


def follows(store: Store) -> Follows:
    """Return what follows from the rates that are saved."""
    return _follows(book_of(firm_rates(store).text))


def _follows(book: Book) -> Follows:
    return Follows(
        book.currency, chance_to_open(book), chance_to_check(book), cost_to_open(book),
        cost_to_check(book), book.callback_heavy.value * book.hour.value,
    )  # fmt: skip


def saved(store: Store, rates: dict[str, Any], *, at: str, by: str) -> None:
    """Save rates.

    Parameters
    ----------
    store : Store
        The record.
    rates : dict
        As typed.
    at, by : str
        When, and who.

    Raises
    ------
    InputError
        If they are not sound; nothing is saved then.
    """
    text = json.dumps(rates, ensure_ascii=False, sort_keys=True)
    read_book(text, "json")
    keep_rates(store, FirmRates(text if rates else "", at, by))


def answer_of(store: Store) -> RatesAnswer:
    """Return every rate, what the firm saved, and what follows.

    Parameters
    ----------
    store : Store
        The record.
    """
    kept = firm_rates(store)
    own = json.loads(kept.text) if kept.text else {}
    return RatesAnswer(rows_of(DEFAULT, own), own, as_toml(own), _follows(book_of(kept.text)),
                       kept.at, kept.by)  # fmt: skip

"""The firm's rates: what an opening, a check and a callback cost, and what follows from that.

A void is opened when leaving it shut costs more than opening it.  The default rates are hours of
work, so the decision does not depend on a currency; a firm types its own over them::

    currency = "USD"
    hour = 85          # what an hour on site is sold for
    open_bay = 2.5     # hours to open and close one typical bay

>>> round(chance_to_open(DEFAULT), 2)
0.25
>>> read_book('open_bay = 6').open_bay.value
6.0

Limits: only what the bands need; repair by finish, prices of materials and travel come with the
estimate.  Every default is a judgement.
"""

from __future__ import annotations

import json
import tomllib
from typing import Any, Literal

import msgspec

from wainscot.errors import Fault, InputError, unknown_word
from wainscot.sources import Cited, judged


class Book(msgspec.Struct, frozen=True):
    """The firm's rates; every hour is one person's hour on site."""

    currency: str = ""
    """Code of the currency; empty where money is counted in hours."""
    hour: Cited = judged(1.0, "currency/h", "money is counted in hours until a rate is typed in")
    open_bay: Cited = judged(4.0, "h", "cut, look, close and make good one plastered stud bay")
    check: Cited = judged(0.5, "h", "set up, one borescope hole, look, plug it")
    callback_light: Cited = judged(16.0, "h", "two people back for a day: odour or a find left")
    callback_heavy: Cited = judged(32.0, "h", "the same for two days: reopen, clean again")
    callback_nest: Cited = judged(40.0, "h", "reopen and clean again, animals settled anew")


DEFAULT = Book()
"""What is used where the firm typed nothing in."""

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
    names = [field.name for field in msgspec.structs.fields(Book)]
    faults = [_fault(name, value, names) for name, value in typed.items()]
    found = [fault for fault in faults if fault is not None]
    if found:
        raise InputError(found)
    own: dict[str, Any] = {
        name: value if name == "currency" else _own(name, float(value))
        for name, value in typed.items()
    }
    return msgspec.structs.replace(DEFAULT, **own)


def cost_to_open(book: Book) -> float:
    """Return what opening and closing one typical bay costs.

    Returns
    -------
    float
        Hours times the hourly rate. [currency]
    """
    return book.open_bay.value * book.hour.value


def cost_to_check(book: Book) -> float:
    """Return what one small check costs.

    Returns
    -------
    float
        Hours times the hourly rate. [currency]
    """
    return book.check.value * book.hour.value


def loss_if_left(book: Book, light: float, heavy: float, nest: float) -> float:
    """Return the expected cost of callbacks if a void is left shut.

    Parameters
    ----------
    light : float
        Chance that it is lightly soiled and holds no nest. [1]
    heavy : float
        Chance that it is heavily soiled and holds no nest. [1]
    nest : float
        Chance that it holds a nest. [1]

    Returns
    -------
    float
        Sum of chance times cost. [currency]
    """
    hours = (
        light * book.callback_light.value
        + heavy * book.callback_heavy.value
        + nest * book.callback_nest.value
    )
    return hours * book.hour.value


def chance_to_open(book: Book) -> float:
    """Return the chance of light soiling above which opening costs less than leaving.

    Returns
    -------
    float
        Cost of opening over cost of a callback, at most 1. [1]
    """
    return min(1.0, book.open_bay.value / book.callback_light.value)


def chance_to_check(book: Book) -> float:
    """Return the chance of light soiling above which a small check costs less than leaving.

    Returns
    -------
    float
        Cost of a check over cost of a callback, at most 1. [1]
    """
    return min(1.0, book.check.value / book.callback_light.value)


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


def _fault(name: str, value: object, names: list[str]) -> Fault | None:
    path = f"rates.{name}"
    if name not in names:
        return unknown_word("unknown-rate", path, "rate", name, names)
    if name == "currency":
        if isinstance(value, str):
            return None
        return Fault("bad-rate", path, f"{value!r} is no currency", 'write currency = "USD"')
    if isinstance(value, (int, float)) and not isinstance(value, bool) and 0 < value <= _LARGEST:
        return None
    unit = getattr(DEFAULT, name).unit
    what = f"{value!r} is no rate in {unit}"
    return Fault("bad-rate", path, what, f"write a number above zero, such as {name} = 4")


def _own(name: str, value: float) -> Cited:
    return Cited(value, getattr(DEFAULT, name).unit, "the firm's own rates", name, "read")

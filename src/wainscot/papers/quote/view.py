"""From an estimate to what an owner reads: range, stages, what moves it, every line."""

from __future__ import annotations

import math
from collections.abc import Iterable

import msgspec

from wainscot.chance import percent
from wainscot.estimate import Estimate, Line, money
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import about_price
from wainscot.papers.said import Said, Say


class Group(msgspec.Struct, frozen=True):
    """Lines of one sort together."""

    words: str
    amount: str


class Stage(msgspec.Struct, frozen=True):
    """One part of the job that is agreed upon by itself."""

    name: Said
    about: str
    needed: str
    """In 100."""
    half: str
    four_in_five: str
    planned: str
    """Sum of its lines, without tax."""
    tax: str
    """On top of that sum; empty where the firm's rates have none, and so is the next."""
    gross: str
    groups: tuple[Group, ...]


class Beyond(msgspec.Struct, frozen=True):
    """What a place would cost where soil is found beyond the plan."""

    place: str
    chance: str
    amount: str


class Row(msgspec.Struct, frozen=True):
    """One line: quantity at a rate."""

    words: Said
    quantity: str
    unit: Said
    rate: str
    amount: str


class Lines(msgspec.Struct, frozen=True):
    """The lines of one stage."""

    stage: Said
    rows: tuple[Row, ...]
    sum: str


class View(msgspec.Struct, frozen=True):
    """A quote."""

    half: str
    four_in_five: str
    tax: str
    """What is said of tax."""
    in_hours: bool
    """True where the firm has typed in no rate."""
    stages: tuple[Stage, ...]
    planned: str
    """All that is planned, without tax."""
    planned_tax: str
    """On top of it, the sum of the stages' own; empty where there is none, and so is the next."""
    planned_gross: str
    drivers: tuple[Said, ...]
    beyond: tuple[Beyond, ...]
    beyond_more: str
    """How many more such places there are; empty for none."""
    limits: tuple[Said, ...]
    lines: tuple[Lines, ...]


MOST = 8
"""Places beyond the plan that are told, the likeliest first; the rest is counted. [1]"""
SORTS = {
    "open": ("open", "close", "board", "waste", "finish", "enter"),
    "hold": ("hold",),
    "contain": ("room", "sheet", "floor_cover", "tape", "post", "zip_door", "exhaust_day", "hang"),
    "clean": ("clean", "solution", "bags", "nest"),
    "travel": ("visit", "rounds"),
}
"""Which words of a line's key belong together."""
REST = {"check first": "look", "open and clean": "other", "seal": "seal", "watch": "watch"}
"""Where all others stand, by stage."""


def view(known: Answers, say: Say) -> View | None:
    """Return the quote; None where nothing was priced."""
    found = known.estimate
    if found is None or not found.lines:
        return None
    unit = found.currency
    planned = [one for one in found.lines if not one.extra]
    beyond = tuple(_beyond(found, say))
    taxes = sum(tax_cents(one.cents, found.tax) for one in found.stages)
    tax = say.word("with_tax", n=f"{found.tax:g}") if found.tax else say.word("without_tax")
    return View(
        about_price(found.half, unit, say), about_price(found.four_in_five, unit, say), tax,
        not unit, tuple(_stages(found, planned, say)), money(found.planned_cents / 100, unit),
        money(taxes / 100, unit) if taxes else "",
        money((found.planned_cents + taxes) / 100, unit) if taxes else "",
        tuple(_driver(one.words, one.share, say) for one in found.drivers),
        beyond[:MOST], str(max(len(beyond) - MOST, 0) or ""), say.all(found.limits),
        tuple(_lines(planned, unit, say)),
    )  # fmt: skip


def _stages(found: Estimate, planned: list[Line], say: Say) -> Iterable[Stage]:
    for one in found.stages:
        mine = [line for line in planned if line.stage == one.name]
        if not mine:
            continue
        share, tax = 1 + found.tax / 100, tax_cents(one.cents, found.tax)
        yield Stage(
            say(one.name), say.word(f"about_{one.name.replace(' ', '_')}"),
            say.word("in_hundred", n=percent(one.needed)),
            about_price(one.half * share, found.currency, say),
            about_price(one.four_in_five * share, found.currency, say),
            money(one.cents / 100, found.currency),
            money(tax / 100, found.currency) if tax else "",
            money((one.cents + tax) / 100, found.currency) if tax else "",
            tuple(_groups(mine, found.currency, say)),
        )  # fmt: skip


def tax_cents(cents: int, tax: float) -> int:
    """Return the tax on an amount, to the nearest cent, half a cent upwards.

    Parameters
    ----------
    cents : int
        Without tax. [currency/100]
    tax : float
        In a hundred. [1]
    """
    return math.floor(cents * tax / 100 + 0.5)


def _groups(mine: list[Line], unit: str, say: Say) -> Iterable[Group]:
    sort_of = {word: sort for sort, words in SORTS.items() for word in words}
    sums: dict[str, int] = {}
    for one in mine:
        sort = sort_of.get(_word(one)) or REST[one.stage]
        sums[sort] = sums.get(sort, 0) + one.cents
    for sort in (*SORTS, *dict.fromkeys(REST.values())):
        if sort in sums:
            yield Group(say.word(f"sort_{sort}"), money(sums[sort] / 100, unit))


def _driver(words: str, share: float, say: Say) -> Said:
    told = say(words)
    return Said(say.word("driver", what=told, n=f"{100 * share:.0f}"), told.lang)


def _beyond(found: Estimate, say: Say) -> Iterable[Beyond]:
    sums: dict[str, int] = {}
    chances: dict[str, float] = {}
    for one in found.lines:
        if one.extra:
            sums[one.place] = sums.get(one.place, 0) + one.cents
            if one.when.kind == "soiled":
                chances[one.place] = one.chance
    for place in sorted(sums, key=lambda word: (-chances.get(word, 0.0), word)):
        chance = say.word("in_hundred", n=percent(chances.get(place, 0.0)))
        yield Beyond(place, chance, money(sums[place] / 100, found.currency))


def _lines(planned: list[Line], unit: str, say: Say) -> Iterable[Lines]:
    for name in dict.fromkeys(one.stage for one in planned):
        mine = [one for one in planned if one.stage == name]
        alike: dict[tuple[str, str, float], list[Line]] = {}
        for one in mine:
            sort = _word(one)
            together = sort if sort in SORTS["clean"] else one.words
            alike.setdefault((together, one.unit, one.rate.value), []).append(one)
        rows = tuple(_row(some, say) for some in alike.values())
        yield Lines(say(name), rows, money(sum(one.cents for one in mine) / 100, unit))


def _row(some: list[Line], say: Say) -> Row:
    """Return lines alike as one; each was rounded by itself, so the amount is the sum of theirs."""
    first = some[0]
    words = say(first.words)
    if len(some) > 1 and _word(first) in SORTS["clean"]:
        sort = say.word(f"many_{_word(first)}", n=len(some))
        words = Said(sort, say.language)
    elif len(some) > 1:
        words = Said(say.word("times", what=words, n=len(some)), words.lang)
    quantity = round(sum(one.quantity for one in some), 2)
    cents = sum(one.cents for one in some)
    return Row(words, f"{quantity:g}", say(first.unit), _rate(first.rate.value),
               f"{cents / 100:,.2f}")  # fmt: skip


def _word(line: Line) -> str:
    """Return which sort of line it is, as its key tells."""
    return line.key.partition("/")[2].split("/")[0].split(" ")[0]


def _rate(value: float) -> str:
    """Return a rate so that quantity times rate can be worked out again: cents only where exact."""
    return f"{value:.2f}" if abs(value - round(value, 2)) < 1e-9 else f"{value:.4g}"

"""The book as a whole, a rate of it, and what follows from its rates.

Limits: those of the tables.
"""

from __future__ import annotations

import msgspec

from wainscot.book.prices import Business, Labour, Material, Trade
from wainscot.book.team import Team
from wainscot.book.work import Repair, Repairs, Work
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
    trap_round: Cited = judged(0.75, "h", "all traps of a house looked at once, travel apart")
    callback_counts: Cited = judged(
        2.0, "1", "an hour of callback in hours of opening: nobody pays for it, and trust is lost"
    )
    """What the balanced set of openings holds against a callback; 1 counts hours alone."""
    work: Work = Work()
    repair: Repairs = Repairs()
    material: Material = Material()
    trade: Trade = Trade()
    labour: Labour = Labour()
    business: Business = Business()
    team: Team = Team()
    signs: dict[str, float] = {}
    """Multiples of the judged rates of the signs, by the rate's words; others stay. [1]"""


DEFAULT = Book()
"""What is used where the firm typed nothing in."""


def repair_of(book: Book, finish: str) -> Repair:
    """Return what it takes to make good a finish; ``other`` where the book does not name it.

    Parameters
    ----------
    book : Book
        The firm's rates.
    finish : str
        As the plan says it: ``lath and plaster``.
    """
    found = getattr(book.repair, finish.replace(" ", "_"), book.repair.other)
    return found if isinstance(found, Repair) else book.repair.other


def price_of(book: Book, table: str, name: str) -> Cited:
    """Return a price; a default in hours is turned into money by the firm's hour.

    Parameters
    ----------
    book : Book
        The firm's rates.
    table : str
        ``material``, ``trade`` or ``business``.
    name : str
        Row of that table.

    Returns
    -------
    Cited
        [currency/unit]
    """
    found: Cited = getattr(getattr(book, table), name)
    typed = typed_unit(table, found.unit)
    if found.unit == typed:
        return found
    return msgspec.structs.replace(found, value=found.value * book.hour.value, unit=typed)


_PRICED = ("material", "trade", "business")
"""Tables whose defaults are worth hours and whose typed rates are money."""


def typed_unit(table: str, unit: str) -> str:
    """Return the unit that a firm types a rate in: money where the default is worth hours.

    Parameters
    ----------
    table : str
        Its table; empty for a rate of its own.
    unit : str
        Of the default.
    """
    return f"currency/{unit[2:]}" if table in _PRICED and unit.startswith("h/") else unit


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

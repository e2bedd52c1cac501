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

Hours of opening and making good stand in ``work`` and ``repair``; they are typed as tables::

    [work]
    kick_board = 0.25
    [repair.tile]
    corner = 2

What is bought, other trades and a visit stand in ``material``, ``trade`` and ``business``.  Their
defaults are hours of work that they are worth, so that a firm which types nothing but its ``hour``
gets a price; what it types in there is its own price::

    [material]
    board = 9.5        # a square metre, in the firm's currency
    [business]
    tax = 8            # per cent
    [team]
    days = "mon tue wed thu"

Multiples of the judged rates of the signs stand in ``signs``, as ``wainscot learn`` writes them::

    [signs]
    "borescope: notices droppings" = 0.8

Limits: what is not marked with a source is a judgement.
"""

from wainscot.book.prices import Business, Labour, Material, Trade
from wainscot.book.rates import (
    DEFAULT,
    Book,
    chance_to_check,
    chance_to_open,
    cost_to_check,
    cost_to_open,
    loss_if_left,
    price_of,
    repair_of,
)
from wainscot.book.reading import read_book
from wainscot.book.team import Team
from wainscot.book.work import Repair, Repairs, Work

__all__ = [
    "DEFAULT",
    "Book",
    "Business",
    "Labour",
    "Material",
    "Repair",
    "Repairs",
    "Team",
    "Trade",
    "Work",
    "chance_to_check",
    "chance_to_open",
    "cost_to_check",
    "cost_to_open",
    "loss_if_left",
    "price_of",
    "read_book",
    "repair_of",
]

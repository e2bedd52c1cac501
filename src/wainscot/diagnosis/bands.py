"""The band of a void: open, check first, leave.  A decision, so it weighs cost, not chance alone.

Leaving costs the callback by what lies there; opening costs an opening.  A small check costs little
and shows soil only sometimes.  The band is the cheapest of the three on average, with the firm's
rates from the book:

>>> band(Outlook(light=0.01, heavy=0.0, nest=0.0)), band(Outlook(light=0.15, heavy=0.0, nest=0.0))
('leave', 'check first')
>>> band(Outlook(light=0.3, heavy=0.5, nest=0.1))
'open'

Limits: each void by itself, with one typical check and one typical opening; what a void costs to
reach comes with the step ``access``.

Source: expected value of sample information, Raiffa & Schlaifer 1961 (from memory).
"""

from __future__ import annotations

import msgspec

from wainscot.book import DEFAULT, Book, cost_to_check, cost_to_open, loss_if_left
from wainscot.diagnosis.answer import Band
from wainscot.sources import Cited, judged

SHOWS_LIGHT: Cited = judged(0.6, "1", "one borescope hole shows light soil about so often")
SHOWS_HEAVY: Cited = judged(0.8, "1", "the same for heavy soil")
SHOWS_NEST: Cited = judged(0.85, "1", "the same for a nest")


class Outlook(msgspec.Struct, frozen=True):
    """What may lie in a void; the rest of the chance is clean."""

    light: float
    """Lightly soiled, no nest. [1]"""
    heavy: float
    """Heavily soiled, no nest. [1]"""
    nest: float
    """[1]"""

    def unseen(self) -> Outlook:
        """Return the parts that a check would miss."""
        return Outlook(
            self.light * (1.0 - SHOWS_LIGHT.value),
            self.heavy * (1.0 - SHOWS_HEAVY.value),
            self.nest * (1.0 - SHOWS_NEST.value),
        )

    @property
    def soiled(self) -> float:
        """Chance that anything lies there. [1]"""
        return self.light + self.heavy + self.nest


def costs(outlook: Outlook, book: Book = DEFAULT) -> dict[Band, float]:
    """Return the expected cost of each band, in hours where no currency is typed in. [currency]

    Parameters
    ----------
    outlook : Outlook
        What may lie there.
    book : Book, optional
        The firm's rates.
    """
    opening = cost_to_open(book)
    missed = outlook.unseen()
    shown = outlook.soiled - missed.soiled
    after_nothing = min(
        opening * (1.0 - shown), loss_if_left(book, missed.light, missed.heavy, missed.nest)
    )
    return {
        "leave": loss_if_left(book, outlook.light, outlook.heavy, outlook.nest),
        "check first": cost_to_check(book) + shown * opening + after_nothing,
        "open": opening,
    }


def band(outlook: Outlook, book: Book = DEFAULT, *, hidden: bool = True) -> Band:
    """Return the band of a void; a room is never opened, only looked at.

    Parameters
    ----------
    outlook : Outlook
        What may lie there.
    book : Book, optional
        The firm's rates.
    hidden : bool
        False for a room.
    """
    price = costs(outlook, book)
    if not hidden:
        return "leave" if price["leave"] <= price["check first"] else "check first"
    order: tuple[Band, ...] = ("leave", "check first", "open")
    return min(order, key=lambda each: price[each])

"""Lines as they are written: a quantity, a rate of the book, and where the quantity comes from."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal

from wainscot.book import Book, price_of
from wainscot.estimate.model import Line, StageName, When
from wainscot.sources import Cited


def cents(quantity: float, rate: float) -> int:
    """Return quantity times rate in hundredths, halves to the even.

    Parameters
    ----------
    quantity : float
        Its unit is that of the rate. [1]
    rate : float
        [currency]
    """
    exact = Decimal(repr(quantity)) * Decimal(repr(rate)) * 100
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


class Taking:
    """Writes the lines of one stage by one book."""

    def __init__(self, stage: StageName, book: Book, *, extra: bool = False) -> None:
        self.stage = stage
        self.book = book
        self.extra = extra

    def hours(
        self, key: str, words: str, hours: float, basis: str, when: When, trade: str = "crew"
    ) -> list[Line]:
        """Return a line of hours by a trade; none where there are no hours.

        Parameters
        ----------
        key, words, basis : str
            As in :class:`Line`.
        hours : float
            [h]
        when : When
            On what it hangs.
        trade : str
            ``crew``, or a row of the book's trades.
        """
        rate = self.book.hour if trade == "crew" else price_of(self.book, "trade", trade)
        said = words if trade == "crew" else f"{words} ({trade})"
        return self._line(key, said, hours, "h", rate, basis, when, labour=True)

    def bought(
        self, key: str, words: str, quantity: float, name: str, basis: str, when: When
    ) -> list[Line]:
        """Return a line of what is bought; none where nothing is.

        Parameters
        ----------
        key, words, basis : str
            As in :class:`Line`.
        quantity : float
            [1]
        name : str
            Row of the book's materials.
        when : When
            On what it hangs.
        """
        rate = price_of(self.book, "material", name)
        unit = rate.unit.partition("/")[2]
        return self._line(key, words, quantity, unit, rate, basis, when, labour=False)

    def visits(self, key: str, words: str, number: float, basis: str, when: When) -> list[Line]:
        """Return a line of ways there and back.

        Parameters
        ----------
        key, words, basis : str
            As in :class:`Line`.
        number : float
            [1]
        when : When
            On what it hangs.
        """
        rate = price_of(self.book, "business", "travel")
        return self._line(key, words, number, "visit", rate, basis, when, labour=False)

    def _line(
        self,
        key: str,
        words: str,
        quantity: float,
        unit: str,
        rate: Cited,
        basis: str,
        when: When,
        *,
        labour: bool,
    ) -> list[Line]:
        # What stands on paper is what was multiplied: a quantity has two decimals.
        shown = round(quantity, 2)
        if shown <= 0:
            return []
        return [
            Line(
                self.stage,
                f"{self.stage}/{key}",
                words,
                shown,
                unit,
                rate,
                cents(shown, rate.value),
                basis,
                when,
                labour,
                self.extra,
            )
        ]

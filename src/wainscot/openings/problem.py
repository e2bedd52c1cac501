"""The choice as numbers: openings at their own cost, charges that several share, voids with a loss.

Leaving a void costs its expected loss; an opening that reaches a share of it saves that share, and
all of it from the share on where a void counts as reached.  Of several openings the one that
reaches most counts, because two cuts into one bay show the same part.

Limits: what is reached from two sides is not added up.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from wainscot.access import Access
from wainscot.access.reaching import REACHED, is_reached
from wainscot.arrays import Floats, Ints
from wainscot.book import Book

MINUTES = 60.0


class Problem(msgspec.Struct, frozen=True):
    """m openings, c charges, n voids of the graph.  Money is in the book's currency."""

    ids: tuple[str, ...]
    """[m]"""
    cost: Floats
    """[m] what each opening costs by itself. [currency]"""
    charges: tuple[str, ...]
    """[c] keys of what is paid once."""
    charge: Floats
    """[c] [currency]"""
    link_opening: Ints
    link_charge: Ints
    """Pairs: this opening needs that charge paid."""
    pair_opening: Ints
    pair_void: Ints
    """Pairs: this opening reaches that void."""
    share: Floats
    """Of each pair, the share reached. [1]"""
    loss: Floats
    """[n] expected loss if a void is left; 0 where it may not count. [currency]"""

    def best_share(self, chosen: Sequence[int]) -> Floats:
        """Return the share of each void that a choice reaches: [n]. [1]"""
        best = np.zeros(len(self.loss))
        taken = np.isin(self.pair_opening, list(chosen))
        np.maximum.at(best, self.pair_void[taken], self.share[taken])
        return best

    def price(self, chosen: Sequence[int]) -> float:
        """Return what a choice costs, each charge once. [currency]"""
        taken = np.isin(self.link_opening, list(chosen))
        paid = np.unique(self.link_charge[taken])
        return float(self.cost[list(chosen)].sum() + self.charge[paid].sum())

    def loss_left(self, chosen: Sequence[int]) -> float:
        """Return the expected loss that a choice leaves. [currency]"""
        return float(self.loss @ (1.0 - self.best_share(chosen)))

    def most_share(self) -> Floats:
        """Return the greatest share of each void that any opening reaches: [n]. [1]"""
        return self.best_share(range(len(self.ids)))

    def reached(self, chosen: Sequence[int]) -> Floats:
        """Return 1 for each void that counts as reached, else 0: [n]. [1]"""
        return (self.best_share(chosen) >= REACHED.value - 1e-9).astype(np.float64)


def problem_of(
    ways: Sequence[Access],
    loss: Floats,
    book: Book,
    *,
    paid: frozenset[str] = frozenset(),
    extra: Floats | None = None,
) -> Problem:
    """Return the choice among these openings as numbers.

    Parameters
    ----------
    ways : sequence of Access
        The openings.
    loss : Floats
        [n] expected loss of each void of the graph if it is left. [currency]
    book : Book
        The firm's rates.
    paid : frozenset of str
        Charges that are paid already: a room set up, a wall that is finished anyway.
    extra : Floats, optional
        [m] what is added to each opening's cost. [currency]
    """
    hour = book.hour.value
    keys = sorted({charge.key for one in ways for charge in one.charges})
    hours = {charge.key: charge.hours for one in ways for charge in one.charges}
    place = {key: c for c, key in enumerate(keys)}
    links = [(o, place[charge.key]) for o, one in enumerate(ways) for charge in one.charges]
    pairs = [
        (o, reach.void, _counted(reach.share))
        for o, one in enumerate(ways)
        for reach in one.reaches
        if reach.share >= 0.01
    ]
    own = np.array([(one.minutes + one.repair) / MINUTES * hour for one in ways])
    return Problem(
        ids=tuple(one.id for one in ways),
        cost=own.reshape(-1) + (0.0 if extra is None else extra),
        charges=tuple(keys),
        charge=np.array([0.0 if key in paid else hours[key] * hour for key in keys]),
        link_opening=np.array([o for o, _ in links], dtype=np.int32),
        link_charge=np.array([c for _, c in links], dtype=np.int32),
        pair_opening=np.array([o for o, _, _ in pairs], dtype=np.int32),
        pair_void=np.array([v for _, v, _ in pairs], dtype=np.int32),
        share=np.array([share for _, _, share in pairs], dtype=np.float64),
        loss=np.asarray(loss, dtype=np.float64),
    )


def _counted(share: float) -> float:
    """Return what a share of a void counts: all of it from where it counts as reached.

    Else to the hundredth, downwards: finer would claim more than a reach in metres holds.
    """
    if is_reached(share):
        return 1.0
    return float(np.floor(share * 100 + 1e-9) / 100)

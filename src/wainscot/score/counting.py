"""Shares with their intervals: of so many bays, so many were as the advice said.

>>> share = shared(8, 10)
>>> round(share.low, 2), round(share.high, 2)
(0.49, 0.94)

Source: Wilson 1927, J. Am. Stat. Assoc. 22:209 (from memory; a test holds it against scipy's).

Limits: bays of one house are alike, so the interval is narrower than it should be where few houses
give most of the bays; the number of houses stands beside it.
"""

from __future__ import annotations

from math import sqrt

import msgspec

Z = 1.959963984540054
"""Standard normal quantile of a two-sided interval of 95 %. [1]"""


class Share(msgspec.Struct, frozen=True):
    """So many of so many, with the 95 % interval of Wilson; shares are pure numbers. [1]"""

    hits: int
    of: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """The share itself; 0 of 0 is 0. [1]"""
        return self.hits / self.of if self.of else 0.0


def shared(hits: int, of: int) -> Share:
    """Return a share with its interval; of nothing it is everything from 0 to 1.

    Parameters
    ----------
    hits, of : int
        So many of so many.
    """
    if of == 0:
        return Share(0, 0, 0.0, 1.0)
    share, spread = hits / of, Z * Z / of
    middle = (share + spread / 2.0) / (1.0 + spread)
    half = Z * sqrt(share * (1.0 - share) / of + spread / (4.0 * of)) / (1.0 + spread)
    return Share(hits, of, max(0.0, middle - half), min(1.0, middle + half))

"""Waits and small jobs that no plan has a figure for, each with its range and its standing."""

from __future__ import annotations

import math

import msgspec

from wainscot.arrays import Floats
from wainscot.sources import Cited, judged


class Range(msgspec.Struct, frozen=True):
    """Least, likely and most, drawn from a triangle over them. Any unit. [unit]"""

    least: float
    likely: float
    most: float

    def drawn(self, at: Floats) -> Floats:
        """Return a value for each chance that it is not exceeded: [K]. Any unit. [unit]

        Parameters
        ----------
        at : Floats
            [K] between 0 and 1. [1]
        """
        width = self.most - self.least
        if width <= 0:
            return at * 0.0 + self.likely
        knee = (self.likely - self.least) / width
        below = self.least + (at.clip(0.0, knee) * width * (self.likely - self.least)) ** 0.5
        above = self.most - ((1.0 - at.clip(knee, 1.0)) * width * (self.most - self.likely)) ** 0.5
        return above * (at > knee) + below * (at <= knee)


FIND_OUT = Range(0.0, 24.0, 96.0)
"""Until an answer or a signature is there where something has to be found out. Judgement. [h]"""
STOP = Range(4.0, 24.0, 120.0)
"""Until a licensed or competent person has come. Judgement. [h]"""
OWNER = Range(0.0, 24.0, 120.0)
"""Until the owner has read and signed. Judgement. [h]"""
DRYING = (0.5, 2.5)
"""Least and most drying as a share of the book's. Judgement. [1]"""

SIGN = judged(0.25, "h", "to look and sign")
METER = judged(0.25, "h", "a meter put to each place that was wetted")
CABLES = judged(0.5, "h", "every cable in an opened room looked at for gnawing")
CONTACT = judged(10.0, "min", "soaking until the label is typed in; the label rules")
WETTING = judged(0.2, "1", "share of the hours of cleaning that go into wetting, each time")
HANGING = judged(0.6, "1", "share of the hours of a sheet that go into hanging it")
COATS: dict[str, Cited] = {
    "plasterboard": Cited(3.0, "visits", "a published time for a small board patch",
                          "three coats over 3-4 visits", "second-hand"),
    "ceiling board": Cited(3.0, "visits", "a published time for a small board patch",
                           "three coats over 3-4 visits", "second-hand"),
    "lath and plaster": judged(3.0, "visits", "three coats that dry in between"),
    "plaster": judged(3.0, "visits", "coats that dry in between"),
    "tile": judged(2.0, "visits", "adhesive and grout on two days"),
}  # fmt: skip
ONE_COAT = judged(1.0, "visits", "touched up in one go")


def slots(hours: float) -> int:
    """Return hours as quarters, up to the next whole one, one at least. [slot]

    Parameters
    ----------
    hours : float
        [h]
    """
    return max(1, math.ceil(4 * hours - 1e-9))

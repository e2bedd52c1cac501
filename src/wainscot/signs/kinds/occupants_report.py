"""An occupant's report: animals seen, heard or suspected somewhere here, with no trace to look at.

It counts as told whoever wrote it down.  How often is kept for people and does not enter.
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.kind import Kind, Look
from wainscot.signs.rates import Section


def heard(look: Look, rate: Section) -> Floats:
    """Return the chance that one void alone makes them say so: [2, 3]. [1]"""
    now = np.array([rate.number("hidden"), rate.number("room")])
    then = {"fresh": 0.0, "unsure": rate.number("past_if_unsure"), "old": 1.0}[look.freshness]
    return np.stack([np.zeros(2), then * now, now], axis=1)


KIND = Kind(
    name="occupant's report",
    letter="P",
    amounts=("once", "sometimes", "often"),
    form="zone",
    silent=True,
    told=True,
    zone_of="here",
    heard=heard,
)

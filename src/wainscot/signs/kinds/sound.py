"""Sounds: gnawing, running, squeaking, heard somewhere; a zone, not a void.

How loud it was is kept for people and does not enter: distance and what was between are unknown.
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.kind import Kind, Look
from wainscot.signs.rates import Section


def heard(look: Look, rate: Section) -> Floats:
    """Return the chance that one void alone is heard, [2, 3]: (hidden, room) x reach. [1]"""
    now = look.sensitivity * look.share * np.array([rate.number("hidden"), rate.number("room")])
    then = {"fresh": 0.0, "unsure": rate.number("past_if_unsure"), "old": 1.0}[look.freshness]
    return np.stack([np.zeros(2), then * now, now], axis=1)


KIND = Kind(
    name="sound",
    letter="S",
    amounts=("faint", "clear", "loud"),
    form="zone",
    heard=heard,
)

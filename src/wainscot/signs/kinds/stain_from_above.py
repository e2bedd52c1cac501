"""Stain from above: urine or a stain that came through a ceiling from some void over it.

A zone: the voids above its place, any of which may have let it fall, now or long ago.  Its absence
says nothing; water leaks stain too.
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.kind import Kind, Look
from wainscot.signs.rates import Section


def heard(look: Look, rate: Section) -> Floats:
    """Return the chance that one void alone lets it fall, [2, 3]: (hidden, room) x reach. [1]"""
    past = np.array([rate.number("hidden_past"), rate.number("room_past")])
    now = np.array([rate.number("hidden_now"), rate.number("room_now")])
    older = {"fresh": rate.number("past_if_fresh"), "unsure": 1.0, "old": 1.0}[look.freshness]
    newer = {"fresh": 1.0, "unsure": 1.0, "old": rate.number("now_if_old")}[look.freshness]
    return look.sensitivity * np.stack([np.zeros(2), older * past, newer * now], axis=1)


KIND = Kind(
    name="stain from above",
    letter="F",
    amounts=("spots", "patch", "soaked"),
    form="zone",
    silent=True,
    zone_of="above",
    heard=heard,
)

"""Trap nights: a catch says that animals go by now and which; empty nights say the opposite.

Nights before a shy species takes up a new object count for a quarter.  A trap sprung and empty
leans a little towards animals being there.
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.kind import Kind, Look, by_nights, now_entry, now_rows
from wainscot.signs.rates import Section


def _by_load(look: Look, rate: Section) -> Floats:
    """Chance of (caught, sprung) where animals go by now, for each load: [loads, 2]."""
    nightly = rate.numbers("catch", look.species)[: look.loads] * look.sensitivity
    caught = by_nights(nightly, look.nights, rate.number("shy_nights", look.species))
    return np.stack([caught, (1.0 - caught) * rate.number("sprung_now")], axis=1)


def shown(look: Look, rate: Section) -> Floats:
    """Return the chance of caught and sprung by load, reach and cell: [loads, 3, 6, 2]. [1]"""
    return now_rows(_by_load(look, rate))


def at_entry(look: Look, rate: Section) -> Floats:
    """Return the chance of caught and sprung at a way in by never, past, now: [3, 2]. [1]"""
    return now_entry(_by_load(look, rate))


KIND = Kind(
    name="trap night",
    letter="T",
    amounts=("nothing", "caught", "sprung"),
    columns=("caught", "sprung"),
    nothing=("nothing",),
    form="row",
    ordered=False,
    ages=False,
    needs_amount=True,
    decisive=True,
    shown=shown,
    at_entry=at_entry,
)

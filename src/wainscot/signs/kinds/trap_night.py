"""Trap nights: a catch says that animals go by now and which; empty nights say the opposite.

Nights before a shy species takes up a new object count for a quarter.  A trap sprung and empty
leans a little towards animals being there.
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.evidence import CELLS
from wainscot.signs.kind import Kind, Look
from wainscot.signs.rates import Section


def effective_nights(nights: float, shy: float) -> float:
    """Return the nights that count. [1]

    Parameters
    ----------
    nights : float
        Trap nights set. [1]
    shy : float
        Nights before the species takes up a new object. [1]
    """
    return nights - 0.75 * min(nights, shy)


def _by_load(look: Look, rate: Section) -> Floats:
    """Chance of (caught, sprung) where animals go by now, for each load: [loads, 2]."""
    nights = effective_nights(look.nights, rate.number("shy_nights", look.species))
    nightly = rate.numbers("catch", look.species)[: look.loads] * look.sensitivity
    caught = 1.0 - (1.0 - nightly) ** nights
    return np.stack([caught, (1.0 - caught) * rate.number("sprung_now")], axis=1)


def shown(look: Look, rate: Section) -> Floats:
    """Return the chance of caught and sprung by load, reach and cell: [loads, 3, 6, 2]. [1]"""
    rows = np.zeros((look.loads, 3, CELLS, 2))
    rows[:, 2, :, :] = _by_load(look, rate)[:, None, :]
    return rows


def at_entry(look: Look, rate: Section) -> Floats:
    """Return the chance of caught and sprung at a way in by never, past, now: [3, 2]. [1]"""
    return np.stack([np.zeros(2), np.zeros(2), _by_load(look, rate).mean(axis=0)])


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
    shown=shown,
    at_entry=at_entry,
)

"""Camera nights: an animal in the picture says that animals go by now and which.

Empty nights say the opposite, but weakly: after a knock-down survivors may keep out of sight for
months (Samaniego et al. 2023, Wildlife Research 50:381, abstract, read: none in the pictures from
the fourth day, the last one after 27 days, survivors seen after six months).
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.kind import Kind, Look, by_nights, now_entry, now_rows
from wainscot.signs.rates import Section


def _by_load(look: Look, rate: Section) -> Floats:
    """Chance of (once, often) where animals go by now, for each load: [loads, 2]."""
    nightly = rate.numbers("in_picture", look.species)[: look.loads] * look.sensitivity
    seen = by_nights(nightly, look.nights, rate.number("shy_nights", look.species))
    often = rate.numbers("often")[: look.loads]
    return np.stack([seen * (1.0 - often), seen * often], axis=1)


def shown(look: Look, rate: Section) -> Floats:
    """Return the chance of once and often by load, reach and cell: [loads, 3, 6, 2]. [1]"""
    return now_rows(_by_load(look, rate))


def at_entry(look: Look, rate: Section) -> Floats:
    """Return the chance of once and often at a way in by never, past, now: [3, 2]. [1]"""
    return now_entry(_by_load(look, rate))


KIND = Kind(
    name="camera night",
    letter="C",
    amounts=("nothing", "once", "often"),
    columns=("once", "often"),
    nothing=("nothing",),
    form="row",
    ages=False,
    needs_amount=True,
    decisive=True,
    shown=shown,
    at_entry=at_entry,
)

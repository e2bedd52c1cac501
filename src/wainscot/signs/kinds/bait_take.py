"""Bait take: food at a marked point that was eaten, in part or all, over so many nights.

It says that something feeds there now; slugs, insects and pets feed too.  Nothing here says what
bait to lay or how much: that is the label's and a licensed person's matter.
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.kind import Kind, Look, by_nights, now_entry, now_rows
from wainscot.signs.rates import Section


def _by_load(look: Look, rate: Section) -> Floats:
    """Chance of (part, all) where animals go by now, for each load: [loads, 2]."""
    nightly = rate.numbers("taken")[: look.loads] * look.sensitivity
    eaten = by_nights(nightly, look.nights, rate.number("shy_nights", look.species))
    whole = rate.numbers("whole")[: look.loads]
    return np.stack([eaten * (1.0 - whole), eaten * whole], axis=1)


def shown(look: Look, rate: Section) -> Floats:
    """Return the chance of part and all by load, reach and cell: [loads, 3, 6, 2]. [1]"""
    return now_rows(_by_load(look, rate))


def at_entry(look: Look, rate: Section) -> Floats:
    """Return the chance of part and all at a way in by never, past, now: [3, 2]. [1]"""
    return now_entry(_by_load(look, rate))


KIND = Kind(
    name="bait take",
    letter="E",
    amounts=("nothing", "part", "all"),
    columns=("part", "all"),
    nothing=("nothing",),
    form="row",
    ages=False,
    needs_amount=True,
    shown=shown,
    at_entry=at_entry,
)

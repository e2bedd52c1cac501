"""Drain test by camera, dye, smoke, or plug and fill: whether a drain is a way in.

It speaks of that way in, not of any void.  Open says that an animal could pass; only a camera also
sees signs that one did.
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.kind import Kind, Look
from wainscot.signs.rates import Section


def at_entry(look: Look, rate: Section) -> Floats:
    """Return the chance of open and used, beyond false ones, by never, past, now: [3, 2]. [1]"""
    past, now = rate.numbers("entry_past"), rate.numbers("entry_now")
    rows = np.stack([np.zeros(2), past, now])
    if not look.looks:
        rows = np.stack([rows.sum(axis=1), np.zeros(3)], axis=1)
    return look.sensitivity * rows


KIND = Kind(
    name="drain test",
    letter="W",
    amounts=("in order", "open", "used"),
    columns=("open", "used"),
    nothing=("in order",),
    form="row",
    ages=False,
    needs_amount=True,
    at_entry=at_entry,
)

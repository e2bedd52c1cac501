"""Tracks: footprints and tail marks, in old dust or in a patch of dust laid for the purpose.

Old dust keeps tracks of long ago; a patch shows only what came since it was laid, so it speaks of
now, night by night.
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.kind import (
    Kind,
    Look,
    by_nights,
    now_entry,
    now_rows,
    passing_entry,
    reach_rows,
)
from wainscot.signs.rates import Section


def _patch(look: Look, rate: Section) -> Floats:
    """Chance of each amount where animals go by now, for each load: [loads, 3]."""
    nightly = rate.numbers("patch_night")[: look.loads]
    crossed = look.sensitivity * by_nights(nightly, look.nights)
    return np.outer(crossed, rate.numbers("patch_amounts"))


def shown(look: Look, rate: Section) -> Floats:
    """Return the chance of each amount by load, reach and cell: [loads, 3, 6, 3]. [1]"""
    return now_rows(_patch(look, rate)) if look.since_laid else reach_rows(look, rate)


def at_entry(look: Look, rate: Section) -> Floats:
    """Return the chance of each amount at a way in by never, past, now: [3, 3]. [1]"""
    return now_entry(_patch(look, rate)) if look.since_laid else passing_entry(look, rate)


KIND = Kind(
    name="tracks",
    letter="K",
    amounts=("few", "many", "run"),
    columns=("few", "many", "run"),
    form="row",
    shown=shown,
    at_entry=at_entry,
)

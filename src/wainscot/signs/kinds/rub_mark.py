"""Rub marks: grease where bodies pass often.  They speak of passing, not of soil."""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.evidence import CELLS
from wainscot.signs.kind import Kind, Look
from wainscot.signs.rates import Section


def _by_reach(look: Look, rate: Section, where: str) -> Floats:
    chance = [
        0.0,
        rate.number(f"{where}_past", look.species),
        rate.number(f"{where}_now", look.species),
    ]
    seen = look.sensitivity * look.share
    return seen * np.outer(chance, rate.numbers("share_of_amounts"))


def shown(look: Look, rate: Section) -> Floats:
    """Return the chance of each amount by load, reach and cell: [loads, 3, 6, 3]. [1]"""
    rows = _by_reach(look, rate, "left")[None, :, None, :]
    return np.broadcast_to(rows, (look.loads, 3, CELLS, rows.shape[-1])).copy()


def at_entry(look: Look, rate: Section) -> Floats:
    """Return the chance of each amount at a hole by never, past, now: [3, 3]. [1]"""
    return _by_reach(look, rate, "entry")


KIND = Kind(
    name="rub mark",
    letter="R",
    amounts=("faint", "clear", "heavy"),
    columns=("faint", "clear", "heavy"),
    form="row",
    shown=shown,
    at_entry=at_entry,
)

"""Thermal anomaly: a warm spot behind a surface; a nest with animals in it, or a pipe."""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.evidence import CELLS
from wainscot.signs.kind import Kind, Look
from wainscot.signs.rates import Section


def shown(look: Look, rate: Section) -> Floats:
    """Return the chance of each amount by load, reach and cell: [loads, 3, 6, 3]. [1]"""
    seen = look.sensitivity * look.share
    rows = np.zeros((look.loads, 3, CELLS, 3))
    rows[:, 2, 0::2] = seen * rate.numbers("warm_now")
    rows[:, 2, 1::2] = seen * rate.numbers("warm_nest")
    return rows


KIND = Kind(
    name="thermal anomaly",
    letter="H",
    amounts=("faint", "clear", "strong"),
    columns=("faint", "clear", "strong"),
    form="row",
    ages=False,
    shown=shown,
)

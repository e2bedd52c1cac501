"""Opened and seen: the void lay open before somebody; settles its soil nearly surely.

Where only part of it could be seen, what lies in the rest is missed and it is called clean.
"""

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.kind import Kind, Look, in_view
from wainscot.signs.rates import Section


def shown(look: Look, rate: Section) -> Floats:
    """Return the chance of clean, light, heavy, nest by load, reach, cell: [loads, 3, 6, 4]. [1]"""
    said = rate.numbers("said")
    clean, nest = said[0], said[3]
    light, heavy = said[1], said[2]
    spots = rate.numbers("spots")
    one, many = in_view(look.share, spots)
    some = in_view(look.share, np.ones(1))[0]
    rows = np.stack(
        [
            clean,
            some * nest + (1.0 - some) * clean,
            one * light + (1.0 - one) * clean,
            some * nest + (1.0 - some) * (one * light + (1.0 - one) * clean),
            many * heavy + (1.0 - many) * clean,
            some * nest + (1.0 - some) * (many * heavy + (1.0 - many) * clean),
        ]
    )
    return np.broadcast_to(rows, (look.loads, 3, *rows.shape)).copy()


KIND = Kind(
    name="opened and seen",
    letter="O",
    amounts=("clean", "soiled", "light", "heavy", "nest"),
    columns=("clean", "light", "heavy", "nest"),
    made_of={"soiled": ("light", "heavy")},
    nothing=("clean",),
    form="row",
    ordered=False,
    ages=False,
    silent=True,
    summarises=("droppings", "urine stain", "nest material"),
    needs_amount=True,
    shown=shown,
)

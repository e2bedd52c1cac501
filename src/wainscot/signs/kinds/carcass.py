"""Carcass: a dead animal, or what is left of one; names its species nearly surely.

It lies with the soil of a void that animals used, and it smells by itself: a carcass that was found
is a source of its own for the smells of the rooms around (see ``smell``).
"""

from wainscot.signs.kind import Kind, soil_rows

KIND = Kind(
    name="carcass",
    letter="X",
    amounts=("remains", "one", "several"),
    columns=("remains", "one", "several"),
    form="row",
    decisive=True,
    smells=True,
    shown=soil_rows,
)

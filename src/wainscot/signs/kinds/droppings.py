"""Droppings: the commonest sign, left wherever animals stay or pass often.

Their length, if it was measured, speaks of the species; the figures are those of
:mod:`wainscot.species`, each with its source.
"""

from wainscot.signs.kind import Kind, entry_rows, soil_rows
from wainscot.species import SPECIES

KIND = Kind(
    name="droppings",
    letter="D",
    amounts=("few", "many", "heaps"),
    columns=("few", "many", "heaps"),
    form="row",
    lengths={name: (one.dropping[0].value, one.dropping[1].value) for name, one in SPECIES.items()},
    shown=soil_rows,
    at_entry=entry_rows,
)

"""Droppings: the commonest sign, left wherever animals stay or pass often."""

from wainscot.signs.kind import Kind, entry_rows, soil_rows

KIND = Kind(
    name="droppings",
    letter="D",
    amounts=("few", "many", "heaps"),
    columns=("few", "many", "heaps"),
    form="row",
    shown=soil_rows,
    at_entry=entry_rows,
)

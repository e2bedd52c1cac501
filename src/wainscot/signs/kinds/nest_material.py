"""Nest material: shredded paper, fibre, insulation; much of it in one place is a nest."""

from wainscot.signs.kind import Kind, entry_rows, soil_rows

KIND = Kind(
    name="nest material",
    letter="N",
    amounts=("few", "many", "heaps"),
    columns=("few", "many", "heaps"),
    form="row",
    shown=soil_rows,
    at_entry=entry_rows,
)

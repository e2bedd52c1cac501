"""Urine stains: on boards, insulation and ceilings; easily taken for other stains."""

from wainscot.signs.kind import Kind, entry_rows, soil_rows

KIND = Kind(
    name="urine stain",
    letter="U",
    amounts=("few", "many", "soaked"),
    columns=("few", "many", "soaked"),
    form="row",
    shown=soil_rows,
    at_entry=entry_rows,
)

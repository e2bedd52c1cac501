"""Rub marks: grease where bodies pass often.  They speak of passing, not of soil."""

from wainscot.signs.kind import Kind, passing_entry, reach_rows

KIND = Kind(
    name="rub mark",
    letter="R",
    amounts=("faint", "clear", "heavy"),
    columns=("faint", "clear", "heavy"),
    form="row",
    shown=reach_rows,
    at_entry=passing_entry,
)

"""Gnawing: what was gnawed is the amount.  It speaks of passing and staying, not of soil.

Fresh gnawing is pale; it greys with time.  A gnawed cable or pipe is also a danger of its own.
"""

from wainscot.signs.kind import Kind, passing_entry, reach_rows

KIND = Kind(
    name="gnawing",
    letter="G",
    amounts=("wood", "cable", "pipe"),
    columns=("wood", "cable", "pipe"),
    form="row",
    ordered=False,
    shown=reach_rows,
    at_entry=passing_entry,
)

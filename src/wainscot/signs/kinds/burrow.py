"""Burrows: holes dug in earth, under floors and at the foot of walls; mostly of Norway rats.

The width of the mouth may be measured: 70 to 120 mm for Norway rats (East Cambridgeshire council
leaflet 2014, read; another leaflet prints 7 for 70).  No figure is given for the other species.
"""

from wainscot.signs.kind import Kind, passing_entry, reach_rows

KIND = Kind(
    name="burrow",
    letter="B",
    amounts=("one", "few", "many"),
    columns=("one", "few", "many"),
    form="row",
    lengths={"norway rat": (0.070, 0.120)},
    shown=reach_rows,
    at_entry=passing_entry,
)

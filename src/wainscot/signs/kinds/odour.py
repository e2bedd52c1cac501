"""Odour: how strongly a room smells of animals, in words or by a meter.

The linear form: what is smelt is the sum of what every void around sends into the room, so one
smell speaks of all of them at once (see ``smell``).  A smell tells nothing of the species.
"""

from wainscot.signs.kind import Kind

KIND = Kind(
    name="odour",
    letter="A",
    amounts=("none", "faint", "clear", "strong"),
    columns=("faint", "clear", "strong"),
    nothing=("none",),
    form="linear",
    ages=False,
)

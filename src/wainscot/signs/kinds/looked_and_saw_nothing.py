"""Looked, saw nothing: the finished look itself speaks, for every kind that its method shows.

It is the same as a finished inspection without finds; the amount says how much was seen.
"""

from wainscot.signs.kind import Kind

KIND = Kind(
    name="looked and saw nothing",
    letter="L",
    amounts=("all", "part", "peep"),
    form="silence",
    nothing=("all", "part", "peep"),
    shares={"all": 1.0, "part": 0.5, "peep": 0.15},
    ages=False,
    silent=True,
)

"""What stands in for a fact that nobody knows, by country, each with its source and standing.

    value("stud spacing", "UK")      # Cited(0.4, "m", ...)

Limits: a default is a guess about an unknown house, not a measurement; each one used is listed as
an assumption of the plan.  ``CA`` uses the US column.
"""

from __future__ import annotations

from wainscot.sources import Cited, judged

INCH = 0.0254

_SIZES = "American Softwood Lumber Standard PS 20, dressed sizes"
_IRC_STUDS = "IRC Table R602.3(5) as printed by a building magazine"
_HABIT = "common practice"


def _habit(value: float, where: str = "") -> Cited:
    return Cited(value, "m", _HABIT, where, "common practice")


_TABLE: dict[str, tuple[Cited, Cited]] = {
    # name: (UK, US)
    "storey height": (
        _habit(2.4, "UK ceiling height"),
        Cited(97.125 * INCH, "m", _HABIT, "92-5/8 in stud and three plates", "memory"),
    ),
    "stud spacing": (
        Cited(0.4, "m", _HABIT, "UK studs at 400 or 600 mm", "memory"),
        Cited(16 * INCH, "m", _IRC_STUDS, "2x4 bearing one floor: 16 in", "second-hand"),
    ),
    "stud depth": (
        Cited(0.075, "m", _HABIT, "UK studs 63, 75 or 89 mm", "memory"),
        Cited(3.5 * INCH, "m", _SIZES, "2x4: 1-1/2 x 3-1/2 in", "memory"),
    ),
    "stud thickness": (
        Cited(0.038, "m", _HABIT, "UK regularised softwood", "memory"),
        Cited(1.5 * INCH, "m", _SIZES, "2x4: 1-1/2 x 3-1/2 in", "memory"),
    ),
    "joist spacing": (
        Cited(0.4, "m", _HABIT, "UK joists at 400, 450 or 600 mm", "memory"),
        Cited(16 * INCH, "m", _HABIT, "joists at 12, 16, 19.2 or 24 in", "memory"),
    ),
    "joist depth": (
        _habit(0.175, "UK upper floors 150 to 225 mm"),
        Cited(9.25 * INCH, "m", _SIZES, "2x10: 9-1/4 in", "memory"),
    ),
    "ground joist depth": (
        _habit(0.100, "UK ground floor on sleeper walls: 4 in joists"),
        Cited(9.25 * INCH, "m", _SIZES, "2x10: 9-1/4 in", "memory"),
    ),
    "joist thickness": (
        _habit(0.05, "UK joists 47 to 50 mm"),
        Cited(1.5 * INCH, "m", _SIZES, "2x10: 1-1/2 in", "memory"),
    ),
    "floor board": (
        _habit(0.022, "UK boards 18 to 22 mm"),
        Cited(1.5 * INCH, "m", _HABIT, "23/32 in subfloor and 3/4 in wood floor", "memory"),
    ),
    "ceiling board": (
        Cited(0.0125, "m", _HABIT, "plasterboard 12.5 mm", "memory"),
        Cited(0.5 * INCH, "m", _HABIT, "gypsum board 1/2 in", "memory"),
    ),
    "wall board": (
        Cited(0.0125, "m", _HABIT, "plasterboard 12.5 mm", "memory"),
        Cited(0.5 * INCH, "m", _HABIT, "gypsum board 1/2 in", "memory"),
    ),
    "lath and plaster": (_habit(0.0225, "lath and three coats"), _habit(0.0225, "7/8 in")),
    "crawl height": (
        judged(0.45, "m", "a low crawl space; measure it"),
        Cited(18 * INCH, "m", "IRC R317.1 (R319 before), joist to soil", "18 in", "second-hand"),
    ),
    "underfloor height": (
        Cited(
            0.15, "m", "Approved Document C", "150 mm below suspended timber floor", "second-hand"
        ),
        Cited(18 * INCH, "m", "IRC R317.1 (R319 before), joist to soil", "18 in", "second-hand"),
    ),
    "loft height": (_habit(2.0, "ridge above ceiling"), _habit(2.0, "ridge above ceiling")),
    "inner leaf": (
        Cited(0.1025, "m", "Approved Document A", "leaf 90 to 102.5 mm", "second-hand"),
        Cited(0.0953, "m", _HABIT, "nominal 4 in masonry", "memory"),
    ),
    "wall cavity": (
        Cited(0.05, "m", "Approved Document A", "cavity 50 mm or more", "second-hand"),
        Cited(0.0254, "m", _HABIT, "1 in air space", "memory"),
    ),
    "solid wall": (
        _habit(0.24, "nine-inch brick, plastered"),
        Cited(7.625 * INCH, "m", _HABIT, "8 in block", "memory"),
    ),
    "plaster": (_habit(0.0125, "two coats on masonry"), _habit(0.0125, "two coats on masonry")),
    "lining gap": (
        Cited(0.02, "m", _HABIT, "board on dabs, 10 to 25 mm", "common practice"),
        Cited(0.75 * INCH, "m", "air-sealing page", "3/4 in furring", "second-hand"),
    ),
    "door width": (_habit(0.8, "door and frame"), _habit(0.81, "32 in door")),
    "door head": (_habit(2.0, "door head"), Cited(80 * INCH, "m", _HABIT, "80 in", "memory")),
    "opening header": (
        judged(0.15, "m", "one course of lintel and its bearing"),
        Cited(9.25 * INCH, "m", _SIZES, "a doubled 2x10 over the opening", "memory"),
    ),
    "window width": (_habit(1.2, "window"), _habit(0.914, "36 in window")),
    "window sill": (_habit(0.9, "window sill"), _habit(0.914, "36 in sill")),
    "window head": (_habit(2.1, "window head"), Cited(80 * INCH, "m", _HABIT, "80 in", "memory")),
}


def value(name: str, country: str) -> Cited:
    """Return the default of that name for a country.

    Parameters
    ----------
    name : str
        A row of the table: ``stud spacing``.
    country : str
        ``UK``; anything else takes the US column.

    Returns
    -------
    Cited
        The value with its source; lengths in metres.

    Raises
    ------
    KeyError
        If there is no such row.
    """
    return _TABLE[name][0 if country == "UK" else 1]


def names() -> tuple[str, ...]:
    """Return the name of every row."""
    return tuple(_TABLE)


DIAMETERS: dict[str, Cited] = {
    "drain": Cited(0.110, "m", "plastic soil pipe 110 mm", "OD", "memory"),
    "vent": Cited(0.0603, "m", "NPS schedule 40 in the library fluids 1.3.1", "2 in", "read"),
    "supply": Cited(0.0159, "m", "copper tube OD = nominal + 1/8 in", "1/2 in tube", "memory"),
    "gas": Cited(0.0213, "m", "NPS schedule 40 in the library fluids 1.3.1", "1/2 in", "read"),
    "cable": Cited(0.010, "m", _HABIT, "flat cable", "common practice"),
    "duct": Cited(0.150, "m", _HABIT, "6 in round duct", "common practice"),
}
"""Outside diameter by service type where none is given. [m]"""

HOLE_OVERSIZE: tuple[Cited, Cited] = (
    Cited(0.006, "m", _HABIT, "a hole bored for the pipe", "common practice"),
    Cited(
        0.0254, "m", "Building America guidance on air sealing plumbing",
        "hole at most pipe plus 1 in at best practice", "read",
    ),
)  # fmt: skip
"""Least and greatest excess of a hole over its pipe where the hole is not measured. [m]"""

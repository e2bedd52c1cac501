"""Which animals a job may be about, with the few facts that calculations need.

>>> SPECIES["house mouse"].passage.value
0.006
>>> weights("UK")["roof rat"] < weights("US")["roof rat"]
True

Limits: the passage values are *protective* thresholds, the largest opening that exclusion guides
let stand.  They are not measured body passages: one hobby trial saw a mouse stop at 17 mm and pass
at 17.5 mm, and no controlled study of the 6 mm figure was found.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import msgspec

from wainscot.errors import Fault, InputError, unknown_word
from wainscot.sources import Cited, judged

_EXCLUSION = "state university extension guide to rodent exclusion methods"
_HANDBOOK = "Baker, Bodman & Timm 1994, handbook chapter on rodent-proof construction"


class Species(msgspec.Struct, frozen=True):
    """One species: what it passes, gnaws and leaves, and how far it goes."""

    name: str
    plural: str
    latin: str
    passage: Cited
    """Protective threshold: a hole whose largest ball is smaller counts as shut. [m]"""
    gnaws_through: tuple[str, ...]
    """Materials that do not keep it out for long, in the words of a job file and of the source."""
    weight: Cited
    """Chance that a job of unknown species is about this one. [1]"""
    weight_in: dict[str, Cited]
    """The same by country, where it differs. [1]"""
    travel: Cited
    """Usual distance from the nest. [m]"""
    travel_most: Cited
    """Distance that is rarely exceeded. [m]"""
    prefers: Literal["anywhere", "ground", "roof"]
    """Where in a building it lives first: ground floor and below, roof and upper walls."""
    dropping: tuple[Cited, Cited]
    """Shortest and longest usual dropping. [m]"""


_GNAWS = (
    "wood",
    "plastic",
    "soft mortar",
    "lead sheet",
    "aluminium sheet",
    "window screen",
    "rubber",
    "vinyl",
    "fibreglass",
)

HOUSE_MOUSE = Species(
    name="house mouse",
    plural="house mice",
    latin="Mus musculus",
    passage=Cited(0.006, "m", _EXCLUSION, "openings over 1/4 in (6 mm) to be sealed", "read"),
    gnaws_through=_GNAWS,
    weight=judged(0.55, "1", "most calls about unseen animals in dwellings are mice"),
    weight_in={"UK": judged(0.60, "1", "roof rats are all but absent, so their share moves here")},
    travel=Cited(3.0, "m", "US Navy NAVFAC MO-310", "p. 20159: usually about 10 ft", "read"),
    travel_most=Cited(9.0, "m", "US Navy NAVFAC MO-310", "p. 20159: rarely over 30 ft", "read"),
    prefers="anywhere",
    dropping=(
        Cited(0.003, "m", "Wellingborough council leaflet", "mouse droppings", "read"),
        Cited(0.006, "m", "East Cambridgeshire council leaflet 2014", "mouse droppings", "read"),
    ),
)

NORWAY_RAT = Species(
    name="norway rat",
    plural="norway rats",
    latin="Rattus norvegicus",
    passage=Cited(0.013, "m", _EXCLUSION, "openings over 1/2 in (13 mm) to be sealed", "read"),
    gnaws_through=_GNAWS,
    weight=judged(0.30, "1", "the commoner rat indoors in temperate towns"),
    weight_in={"UK": judged(0.39, "1", "roof rats are all but absent, so their share moves here")},
    travel=Cited(15.0, "m", "State of Connecticut DEEP page on Norway rats", "50 ft", "read"),
    travel_most=Cited(46.0, "m", "State of Connecticut DEEP page on Norway rats", "150 ft", "read"),
    prefers="ground",
    dropping=(
        Cited(0.018, "m", "State of Connecticut DEEP; City of Green Bay", "3/4 in", "read"),
        Cited(0.025, "m", "City of Green Bay page", "1 in", "read"),
    ),
)

ROOF_RAT = Species(
    name="roof rat",
    plural="roof rats",
    latin="Rattus rattus",
    passage=Cited(0.013, "m", _EXCLUSION, "openings over 1/2 in (13 mm) to be sealed", "read"),
    gnaws_through=_GNAWS,
    weight=judged(0.15, "1", "warm coasts and ports; rare elsewhere"),
    weight_in={"UK": judged(0.01, "1", "known from ports and a few islands only (from memory)")},
    travel=Cited(30.0, "m", _HANDBOOK, "feeding trips of 100 ft", "second-hand"),
    travel_most=Cited(90.0, "m", _HANDBOOK, "feeding trips of 300 ft", "second-hand"),
    prefers="roof",
    dropping=(
        Cited(0.012, "m", "trade and council pages", "pointed spindle", "second-hand"),
        Cited(0.013, "m", "trade and council pages", "pointed spindle", "second-hand"),
    ),
)

SPECIES: dict[str, Species] = {one.name: one for one in (HOUSE_MOUSE, NORWAY_RAT, ROOF_RAT)}
"""Every species by the name that stands in a job file."""

AND = " and "

OTHER_NAMES = {
    "mouse": "house mouse",
    "mice": "house mouse",
    "brown rat": "norway rat",
    "common rat": "norway rat",
    "sewer rat": "norway rat",
    "black rat": "roof rat",
    "ship rat": "roof rat",
}
"""Names that people use for them, common practice; suggested, never taken silently."""


def species(name: str) -> Species:
    """Return the species of that name.

    Parameters
    ----------
    name : str
        ``house mouse``, ``norway rat`` or ``roof rat``; or two of them, joined by "and": what
        passes is then what the smaller one passes.

    Raises
    ------
    InputError
        If no species is called so; the nearest name is suggested.
    """
    if set(members(name)) - set(SPECIES):
        raise InputError([unknown_species("species", name)])
    if name in SPECIES:
        return SPECIES[name]
    one, other = (SPECIES[each] for each in members(name))
    smaller = min((one, other), key=lambda each: each.passage.value)
    return msgspec.structs.replace(
        smaller,
        name=name,
        plural=f"{one.plural}{AND}{other.plural}",
        latin=f"{one.latin}{AND}{other.latin}",
        prefers=one.prefers if one.prefers == other.prefers else "anywhere",
    )


def members(name: str) -> tuple[str, ...]:
    """Return the species that a name stands for: one, or two that live there together.

    Parameters
    ----------
    name : str
        ``house mouse``, or ``house mouse and norway rat``.
    """
    return tuple(name.split(AND))


def together(names: Iterable[str]) -> str:
    """Return the name of several species together, whatever their order.

    Parameters
    ----------
    names : iterable of str
        Names of species.
    """
    return AND.join(sorted(names))


def unknown_species(path: str, name: str) -> Fault:
    """Return the fault for a name that is no species, with what it is called here.

    Parameters
    ----------
    path : str
        Place in the job file.
    name : str
        What was typed.
    """
    known = OTHER_NAMES.get(name.strip().lower())
    if known is None:
        return unknown_word("unknown-species", path, "species", name, SPECIES)
    what = f"no species is called {name!r} here"
    return Fault("unknown-species", path, what, f"write {known!r}")


def weights(country: str = "") -> dict[str, float]:
    """Return the chance of each species before any sign is read; the sum is 1.

    Parameters
    ----------
    country : str
        ``US``, ``UK``, ``CA`` or empty, as in a job's settings.

    Returns
    -------
    dict of str to float
        Chance by species name. [1]
    """
    plain = {one.name: one.weight_in.get(country, one.weight).value for one in SPECIES.values()}
    total = sum(plain.values())
    return {name: value / total for name, value in plain.items()}

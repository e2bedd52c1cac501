"""What seals are made of, what each withstands, and how much of it a place takes.

Foam and sealant never count: they fill, and metal stops.  ``tables/materials.csv`` is the one place
to change a row.

Limits: withstanding is told by kind, not measured on animals by us; amounts are of the geometry as
drawn, waste of cutting is the buyer's.
"""

from __future__ import annotations

import csv
from functools import cache
from importlib import resources
from math import pi
from typing import NamedTuple

import msgspec

from wainscot.sealing.model import Range, Way
from wainscot.sources import Cited, Status, judged

FOAM_IN_PLACE = Cited(0.6, "1", "supplier pages, checked by density", "planned share of the yield",
                      "derived")  # fmt: skip
FOAM_CAN = Cited(0.046, "m3", "supplier claim: 1,200 ft of 1/2 in bead from 24 oz", "free rise",
                 "second-hand")  # fmt: skip
MORTAR_DEPTH = Cited(0.05, "m", "handbook chapter on rodent-proof construction",
                     "reinforced by mesh or metal", "memory")  # fmt: skip
DRAIN_IN_USE = (
    "a run in use is repaired, or gets a non-return flap: its direction, a hatch to it, "
    "inspection; whose run it is, consent where it is shared"
)
GNAWED = frozenset({"wood", "plastic", "soft mortar", "unknown"})
"""Edges that teeth get through, so that metal on one face is gone round."""
OVERLAP = judged(0.05, "m", "mesh past the hole on every side, for fixings")
UNMEASURED = (
    Cited(0.006, "m", "exclusion guides, as species", "the smallest hole that matters", "read"),
    judged(0.1, "m", "a hole that nobody measured is no wider than a hand"),
)
"""Least and greatest width of a hole of unknown size, for amounts only."""
NONE: Range = (0.0, 0.0)
CAVITY_BACKED = 0.08
"""Holes this wide are backed with mesh before they are patched. [m]"""


class Material(msgspec.Struct, frozen=True):
    """One row of the table."""

    name: str
    used_for: str = msgspec.field(name="for")
    withstands: tuple[str, ...]
    """``mouse``, ``rat``; empty where it keeps nothing out by itself."""
    layer: str
    made_of: str
    source: str
    status: Status
    why: str

    @property
    def counts(self) -> bool:
        """True where it keeps an animal out by itself."""
        return bool(self.withstands) and self.layer in ("metal", "rigid")


@cache
def materials() -> dict[str, Material]:
    """Return every material by name."""
    text = resources.files(__package__).joinpath("tables/materials.csv").read_text("utf-8")
    rows = csv.DictReader(text.splitlines())
    found = [
        msgspec.convert({**row, "withstands": row["withstands"].split()}, type=Material)
        for row in rows
    ]
    return {one.name: one for one in found}


def for_way(way: Way) -> tuple[str, str]:
    """Return the material for an edge and what has to stay as it is; all of them stop mice too.

    Parameters
    ----------
    way : Way
        The edge.
    """
    if way.material:
        return way.material, way.note
    if way.pool.partition(",")[0] == "drain":
        return "drain repair", f"cap what is disused; {DRAIN_IN_USE}"
    if way.sort != "entry point":
        return "mesh 6 mm", way.note
    backed = "back it with mesh first" if way.size[1] >= CAVITY_BACKED else ""
    masonry = way.edge_material in ("masonry", "soft mortar")
    return ("mortar" if masonry else "sheet metal"), backed


class Amounts(NamedTuple):
    """What one place takes; zeros for what it does not."""

    faces: int
    area: Range = NONE
    """Sheet or mesh with its overlap, all faces. [m2]"""
    volume: Range = NONE
    """Mortar. [m3]"""
    joint: Range = NONE
    """Sealant on top of metal. [m]"""


def amounts(way: Way, material: str) -> Amounts:
    """Return what closing one place takes, least and greatest where its size is not known.

    An entry point that nobody measured lies between the smallest hole that matters and one as wide
    as a hand (:data:`UNMEASURED`); the hole round a drawn pipe has the range of its kind.

    Parameters
    ----------
    way : Way
        The place.
    material : str
        Name of the material.
    """
    made, hole = materials()[material], way.sort == "entry point"
    if made.used_for == "pipe" and way.pipe > 0:
        return _round_pipe(way)
    round_it = hole and made.used_for in ("hole", "door") and way.edge_material in GNAWED
    faces = 2 if round_it else 1
    if made.used_for != "hole" or not hole:
        return Amounts(faces)
    wide = way.size if way.size[1] > 0 else (UNMEASURED[0].value, UNMEASURED[1].value)
    if made.layer == "rigid":
        low, high = (mesh_piece(one, one) if one >= CAVITY_BACKED else 0.0 for one in wide)
        least, most = (filling(pi / 4 * one**2, MORTAR_DEPTH.value) for one in wide)
        return Amounts(1, (low, high), (least, most))
    low, high = (faces * mesh_piece(one, one) for one in wide)
    return Amounts(faces, (low, high))


def _round_pipe(way: Way) -> Amounts:
    """A collar: the ring round the pipe, lapped over the hole, and its two rims."""
    low, high = (max(one, way.pipe) for one in way.bored)
    lap = 2 * OVERLAP.value
    collar = (annulus_area(low + lap, way.pipe), annulus_area(high + lap, way.pipe))
    rims = (sealant_length(low + lap, way.pipe), sealant_length(high + lap, way.pipe))
    return Amounts(1, collar, NONE, rims)


def annulus_area(hole: float, pipe: float) -> float:
    """Return the area between a hole and the pipe in it, wherever the pipe rests.

    Parameters
    ----------
    hole, pipe : float
        Diameters. [m]

    Returns
    -------
    float
        [m2]

    Raises
    ------
    ValueError
        If the pipe is wider than the hole, or either is no width.
    """
    if not 0 <= pipe <= hole:
        raise ValueError(f"a pipe of {pipe} m does not lie in a hole of {hole} m")
    return pi / 4 * (hole**2 - pipe**2)


def filling(area: float, depth: float) -> float:
    """Return the volume that fills a gap to a depth.

    Parameters
    ----------
    area : float
        Of the gap. [m2]
    depth : float
        [m]

    Returns
    -------
    float
        [m3]
    """
    return area * depth


def mesh_piece(width: float, height: float) -> float:
    """Return the mesh that covers an opening with its overlap on every side.

    Parameters
    ----------
    width, height : float
        Of the opening. [m]

    Returns
    -------
    float
        [m2]
    """
    return (width + 2 * OVERLAP.value) * (height + 2 * OVERLAP.value)


def sealant_length(hole: float, pipe: float) -> float:
    """Return the joint to seal round a pipe: both rims of the ring.

    Parameters
    ----------
    hole, pipe : float
        Diameters. [m]

    Returns
    -------
    float
        [m]
    """
    return pi * (hole + pipe)


def foam_cans(volume: float) -> float:
    """Return the cans of foam that fill a volume, with the share that is lost.

    Parameters
    ----------
    volume : float
        To fill, over or behind metal. [m3]

    Returns
    -------
    float
        Cans of 24 to 25 oz. [1]
    """
    return volume / (FOAM_CAN.value * FOAM_IN_PLACE.value)

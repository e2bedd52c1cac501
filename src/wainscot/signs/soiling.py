"""Soil and nests before anybody looked: one row per class of void.

>>> prior_row(DEFAULT.classes["narrow"]).shape
(3, 3, 6)

Limits: classes are judged; a void that animals left long ago counts like one they use.
"""

from __future__ import annotations

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.evidence import CELLS
from wainscot.signs.rates import DEFAULT, Rates, SoilingClass
from wainscot.voids.graph import Graph

__all__ = ["DEFAULT", "class_of", "classes_of", "prior_row"]


def class_of(kind: str, hidden: bool, volume: float, rates: Rates) -> str:
    """Return the class of a void by its kind, else by its volume.

    Parameters
    ----------
    kind : str
        Kind of void.
    hidden : bool
        False for a room.
    volume : float
        Its volume. [m3]
    rates : Rates
        The tables.
    """
    if not hidden:
        return "room"
    for name, row in rates.classes.items():
        if kind in row.kinds:
            return name
    return "narrow" if volume < rates.narrow_below else "wide"


def classes_of(graph: Graph, rates: Rates) -> list[str]:
    """Return the class of each void: as its graph says, else by its volume.

    Parameters
    ----------
    graph : Graph
        The voids.
    rates : Rates
        The tables.
    """
    if graph.harborage:
        return list(graph.harborage)
    return [
        class_of(kind, bool(hidden), float(volume), rates)
        for kind, hidden, volume in zip(graph.kinds, graph.hidden, graph.volume, strict=True)
    ]


def prior_row(soiling: SoilingClass) -> Floats:
    """Return the joint chance of soil and nest, [loads, 3, 6]; unreached voids are clean. [1]

    Parameters
    ----------
    soiling : SoilingClass
        The class of void.
    """
    soil = np.asarray(soiling.soil)
    nest = np.asarray(soiling.nest)
    reached = np.stack([soil * (1.0 - nest), soil * nest], axis=-1).reshape(len(soil), CELLS)
    rows = np.zeros((len(soil), 3, CELLS))
    rows[:, 0, 0] = 1.0
    rows[:, 1:, :] = reached[:, None, :]
    return rows

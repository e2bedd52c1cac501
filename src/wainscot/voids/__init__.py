"""Geometry becomes a graph: voids, the passages between them, and the ways in.

    graph = build(framed(job).plan, "norway rat")
    locate(graph, plan, Place(of="kitchen/n1", along=1.2))     # voids that this place lies in

Passage rules are files in ``voids/rules``; fixture types state their own joins.  The engines ask
how a space is framed, never which fixture it belongs to.  A void's id is its owner's id, its role
and its module's index, so that an edit far away renames nothing.

Limits: a passage is an aperture with a chance, not a measured hole; most chances are judgement
(``tables/passages.csv``, ``tables/sources.csv``).
"""

from wainscot.voids.building import build
from wainscot.voids.framed import Framed, framed, framings, keep_labels
from wainscot.voids.graph import Face, Graph
from wainscot.voids.placing import locate, locate_zone, why_lost

__all__ = [
    "Face",
    "Framed",
    "Graph",
    "build",
    "framed",
    "framings",
    "keep_labels",
    "locate",
    "locate_zone",
    "why_lost",
]

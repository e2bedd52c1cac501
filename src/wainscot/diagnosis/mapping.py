"""Which void of one graph stands for which void of another.

Under another framing guess a bay may not exist.  What counts then is the spot: the void that lies
where this one's middle is.
"""

from __future__ import annotations

import numpy as np
import shapely

from wainscot.arrays import Ints
from wainscot.voids.graph import Graph


def void_map(answer: Graph, other: Graph) -> Ints:
    """Return for each void of the answer's graph the other's void, -1 where there is none.

    Parameters
    ----------
    answer : Graph
        The graph that the answer speaks of.
    other : Graph
        The graph of another case.
    """
    index = other.index()
    found = np.array([index.get(key, -1) for key in answer.keys], dtype=np.int32)
    missing = np.flatnonzero(found < 0)
    if len(missing) == 0 or len(other.keys) == 0:
        return found
    tree = shapely.STRtree([shapely.Polygon(outline) for outline in other.polygon])
    for v in missing:
        point = shapely.Polygon(answer.polygon[v]).representative_point()
        height = 0.5 * (answer.bottom[v] + answer.top[v])
        there = [
            int(w)
            for w in tree.query(point, predicate="intersects")
            if other.bottom[w] <= height <= other.top[w] and other.hidden[w] == answer.hidden[v]
        ]
        if there:
            found[v] = min(there, key=lambda w: (float(other.volume[w]), other.keys[w]))
    return found


def source_map(answer: Graph, other: Graph) -> Ints:
    """Return for each way in of the answer's graph the other's, -1 where there is none.

    Parameters
    ----------
    answer : Graph
        The graph that the answer speaks of.
    other : Graph
        The graph of another case.
    """
    index = {key: e for e, key in enumerate(other.source_keys)}
    return np.array([index.get(key, -1) for key in answer.source_keys], dtype=np.int32)

"""Which voids go into which panel: a storey's own view, under its floor, over its ceiling.

A hidden void belongs to the storey it is drawn on.  What stands above the floor goes into the
storey's view; what lies lower, or hangs over people's heads within a room, is split by height into
layers, so that nothing in a panel hides what lies beneath it (the joist bays in one, the crawl
space in the next).  No kind is named here.

Limits: heights decide, so a void that spans two layers is shown in the upper one.
"""

from __future__ import annotations

from typing import Literal

import msgspec
import numpy as np
from shapely import Geometry, Polygon
from shapely.ops import unary_union

from wainscot.plan.model import Plan, Storey
from wainscot.voids.graph import Graph

_SLACK = 0.005
_OVERHEAD = 1.5  # what begins higher over the floor and lies in a room hangs over it [m]
_MOSTLY = 0.5  # share of an outline that lies in rooms, from which it counts as in them [1]


Where = Literal["view", "under", "over"]
"""In the walls and rooms, under the floor, over the ceiling."""


class Layer(msgspec.Struct, frozen=True):
    """Voids that one panel shows."""

    storey: str
    where: Where
    depth: int
    """0 nearest to the rooms."""
    voids: tuple[int, ...]
    lower: str = ""
    """The storey beneath, where its ceiling is in this layer too."""


def layers_of(plan: Plan, graph: Graph) -> tuple[Layer, ...]:
    """Return the layers of every storey, lowest storey first.

    Parameters
    ----------
    plan : Plan
        For the heights of floors and ceilings.
    graph : Graph
        Its hidden voids are dealt out.
    """
    found: list[Layer] = []
    for storey in sorted(plan.storeys, key=lambda each: each.elevation):
        here = [v for v in range(len(graph.keys))
                if graph.hidden[v] and graph.storeys[v] == storey.id]  # fmt: skip
        rooms = unary_union(
            [Polygon(room.polygon) for room in plan.rooms if room.storey == storey.id]
        )
        view, under, over = _deal(storey, graph, here, rooms)
        found.append(Layer(storey.id, "view", 0, tuple(view)))
        found += [Layer(storey.id, "under", i, some) for i, some in enumerate(_split(graph, under))]
        found += [Layer(storey.id, "over", i, some)
                  for i, some in enumerate(reversed(_split(graph, over)))]  # fmt: skip
    return _joined(graph, found)


def _joined(graph: Graph, layers: list[Layer]) -> tuple[Layer, ...]:
    """Put ceilings of one storey with the floor of the next where both lie at one height."""
    kept = list(layers)
    for over in [layer for layer in layers if layer.where == "over"]:
        for i, under in enumerate(kept):
            if under.where == "under" and _level_with(graph, over, under):
                voids = tuple(sorted(under.voids + over.voids))
                kept[i] = Layer(under.storey, "under", under.depth, voids, over.storey)
                kept.remove(over)
                break
    return tuple(kept)


def _level_with(graph: Graph, one: Layer, other: Layer) -> bool:
    low, high = graph.bottom[list(one.voids)].min(), graph.top[list(one.voids)].max()
    floor, ceiling = graph.bottom[list(other.voids)].min(), graph.top[list(other.voids)].max()
    return bool(min(high, ceiling) - max(low, floor) > 0.5 * min(high - low, ceiling - floor))


def _deal(
    storey: Storey, graph: Graph, voids: list[int], rooms: Geometry
) -> tuple[list[int], list[int], list[int]]:
    middle = (graph.bottom + graph.top) / 2
    ceiling = storey.elevation + storey.height
    under = [v for v in voids if middle[v] < storey.elevation]
    over = [v for v in voids
            if graph.bottom[v] >= ceiling - _SLACK or _hangs(storey, graph, v, rooms)]  # fmt: skip
    rest = [v for v in voids if v not in set(under) | set(over)]
    return rest, under, over


def _hangs(storey: Storey, graph: Graph, v: int, rooms: Geometry) -> bool:
    """True for what lies in a room above people's heads, such as the space over ceiling tiles."""
    if graph.bottom[v] < storey.elevation + _OVERHEAD:
        return False
    outline = Polygon(graph.polygon[v])
    return bool(outline.intersection(rooms).area > _MOSTLY * outline.area)


def _split(graph: Graph, voids: list[int]) -> list[tuple[int, ...]]:
    """Cut a pile of voids into layers where their heights do not overlap, highest first."""
    groups: list[list[int]] = []
    floor = np.inf
    for v in sorted(voids, key=lambda each: (-graph.top[each], graph.keys[each])):
        if not groups or graph.top[v] <= floor + _SLACK:
            groups.append([])
            floor = graph.bottom[v]
        groups[-1].append(v)
        floor = min(floor, graph.bottom[v])
    return [tuple(group) for group in groups]

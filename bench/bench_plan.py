"""Plan to graph: how long the geometry takes."""

from __future__ import annotations

from bench.houses import grid_house
from bench.table import Row, median_seconds
from wainscot import plan, voids


def rows() -> list[Row]:
    out = []
    for shape, target in (((2, 2, 2), 0.3), ((2, 6, 5), None)):
        job = grid_house(*shape)
        graph = voids.build(plan.read(job), "norway rat")
        seconds = median_seconds(lambda job=job: voids.build(plan.read(job), "norway rat"))
        out.append(Row(f"plan and graph, {len(graph.keys)} voids", seconds, target))
    return out

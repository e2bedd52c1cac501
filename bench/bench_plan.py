"""Plan to graph: how long the geometry takes, square and askew."""

from __future__ import annotations

import math
from typing import Any

from bench.houses import grid_house
from bench.table import Row, median_seconds
from wainscot import plan, voids
from wainscot.job import Job


def rows() -> list[Row]:
    shapes = (((2, 2, 3), 0.3), ((2, 3, 3), None), ((2, 6, 5), None))
    jobs = [("", grid_house(*shape), target) for shape, target in shapes]
    jobs.append((", at 30 degrees, typed to the millimetre", askew(grid_house(2, 2, 3)), None))
    out = []
    for words, job, target in jobs:
        graph = voids.build(plan.read(job), "norway rat")
        seconds = median_seconds(lambda job=job: voids.build(plan.read(job), "norway rat"))
        out.append(Row(f"plan and graph, {len(graph.keys)} voids{words}", seconds, target))
    return out


def askew(job: Job, degrees: float = 30.0) -> Job:
    """Return the house turned, its corners rounded to the millimetre."""
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    entities: dict[str, Any] = {}
    for key, entity in job.entities.items():
        one = dict(entity)
        if "polygon" in one:
            one["polygon"] = [
                [round(cosine * x - sine * y, 3), round(sine * x + cosine * y, 3)]
                for x, y in one["polygon"]
            ]
        if one.get("floor", {}).get("joists_run") == "x":
            one["floor"] = {**one["floor"], "joists_run": degrees}
        entities[key] = one
    return Job(id=f"{job.id}_askew", title=job.title, units=job.units, entities=entities)

"""A plan from a small job, with a graph made by hand: what acts and hazards are tried on."""

from __future__ import annotations

from typing import Any

import numpy as np

from houses import as_job, rectangle
from wainscot import plan
from wainscot.job import Job
from wainscot.plan import Plan
from wainscot.voids.graph import Face, Graph


def job(year: int | None = 1934, country: str = "UK", floor: str = "joists") -> Job:
    """Return a kitchen with a bath's worth of voids: a stud wall, a floor, a loft."""
    settings: dict[str, Any] = {"kind": "settings", "country": country}
    if year is not None:
        settings["year_built"] = year
    return as_job(
        {
            "id": "job_sketch",
            "entities": {
                "settings": settings,
                "ground": {
                    "kind": "storey", "name": "Ground floor", "level": 0, "height": 2.4,
                    "floor": {"build": floor, "below": "ground"}, "ceiling": "loft",
                },
                "kitchen": {
                    "kind": "room", "name": "Kitchen", "storey": "ground",
                    "polygon": rectangle(0.0, 0.0, 3.0, 3.0),
                },
                "hall": {
                    "kind": "room", "name": "Hall", "storey": "ground",
                    "polygon": rectangle(3.1, 0.0, 5.0, 3.0),
                },
                "partition": {
                    "kind": "wall", "room": "kitchen", "side": "e1", "build": "stud",
                    "stud_spacing": 0.4,
                },
                "outer": {"kind": "wall", "room": "hall", "side": "n1", "build": "cavity"},
                "north": {"kind": "edge", "room": "hall", "side": "n1", "is": "outside"},
                "next_door": {
                    "kind": "edge", "room": "hall", "side": "e1", "is": "neighbour",
                },
                "cable": {
                    "kind": "service", "type": "cable",
                    "path": [[3.05, 0.6, 0.3], [3.05, 0.6, 2.0]],
                },
                "drain": {
                    "kind": "service", "type": "drain", "disused": True, "open_end": "end",
                    "path": [[1.0, -2.0, -0.5], [1.0, 1.0, -0.3]],
                },
                "hole": {
                    "kind": "entry_point", "name": "Broken drain", "beyond": "drain",
                    "place": {"of": "drain"}, "size": "100 mm",
                },
                "along": {
                    "kind": "framing_guess", "question": "kitchen joists", "weight": 0.6,
                    "choices": {"ground.floor.joists_run": "x"},
                },
                "across": {
                    "kind": "framing_guess", "question": "kitchen joists", "weight": 0.4,
                    "choices": {"ground.floor.joists_run": "y"},
                },
            },
        }
    )  # fmt: skip


_VOIDS: tuple[tuple[Any, ...], ...] = (
    # key, kind, owner, hidden, west, south, east, north, bottom, top, faces
    ("kitchen", "room", "kitchen", False, 0.0, 0.0, 3.0, 3.0, 0.0, 2.4, ()),
    ("kitchen/e1/bay/1", "stud bay", "kitchen/e1", True, 3.01, 0.4, 3.09, 0.8, 0.04, 2.3,
     (Face("kitchen", "wall", "plasterboard", 0.9), Face("hall", "wall", "tile", 0.9))),
    ("hall/e1/bay/1", "stud bay", "hall/e1", True, 5.01, 0.4, 5.09, 0.8, 0.04, 2.3,
     (Face("hall", "wall", "plasterboard", 0.9),)),
    *((f"ground/kitchen/joist-bay/{i}", "joist bay", "kitchen", True, 0.0, 0.4 * i, 3.0,
       0.4 * i + 0.35, -0.2, 0.0, (Face("kitchen", "floor", "boards", 1.0),)) for i in range(5)),
    ("ground/loft", "loft", "ground", True, 0.0, 0.0, 5.0, 3.0, 2.4, 4.4,
     (Face("kitchen", "ceiling", "plasterboard", 9.0),)),
    ("ground/crawl-space", "crawl space", "ground", True, 0.0, 0.0, 5.0, 3.0, -0.8, -0.2, ()),
    ("units/under", "under base cabinets", "units", True, 0.0, 2.4, 2.4, 3.0, 0.0, 0.15,
     (Face("kitchen", "front", "kick board", 0.3),)),
    ("stair/under", "under stair", "stair", True, 4.0, 2.0, 5.0, 3.0, 0.0, 2.0,
     (Face("hall", "front", "cupboard door", 1.5),)),
    ("boxing/inside", "boxed pipe run", "boxing", True, 0.0, 0.0, 0.2, 0.2, 0.0, 2.4,
     (Face("kitchen", "front", "boxing", 0.5),)),
    ("hall/n1/cavity", "wall cavity", "hall/n1", True, 3.1, 3.1, 5.0, 3.15, 0.0, 2.4,
     (Face("hall", "wall", "plaster", 4.0),)),
)  # fmt: skip


def graph() -> Graph:
    """Return voids of every sort that acts look for."""
    count = len(_VOIDS)
    columns = list(zip(*_VOIDS, strict=True))
    outlines = tuple(np.array(rectangle(*row[4:8])) for row in _VOIDS)
    return Graph(
        keys=columns[0],
        labels=tuple(f"V{i}" for i in range(count)),
        kinds=columns[1],
        words=tuple(f"{kind} V{i}" for i, kind in enumerate(columns[1])),
        owners=columns[2],
        storeys=("ground",) * count,
        hidden=np.array(columns[3]),
        polygon=outlines,
        bottom=np.array(columns[8]),
        top=np.array(columns[9]),
        volume=np.ones(count),
        faces=columns[10],
        edges=np.zeros((0, 2), dtype=np.int32),
        passage_keys=(),
        passage_rule=(),
        passage_words=(),
        aperture=np.zeros((0, 2)),
        prior_open=np.zeros(0),
        prior_run=np.zeros(0),
        gnawable=np.zeros(0, dtype=np.bool_),
        passage_at=np.zeros((0, 3)),
        source_keys=("hole",),
        source_words=("the broken drain",),
        source_sort=("entry point",),
        source_pool=("",),
        source_void=np.array([3], dtype=np.int32),
        source_prior=np.array([[0.4, 0.2, 0.4]]),
        source_at=np.array([[1.0, 1.0, -0.3]]),
        species="norway rat",
    )


def drawn(**more: Any) -> tuple[Job, Plan, Graph]:
    """Return job, plan and graph together."""
    made = job(**more)
    return made, plan.read(made), graph()

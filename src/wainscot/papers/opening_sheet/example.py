"""A small sheet of our own making: one kitchen, one strip of board cut low in a wall.

    as_pdf(example())

Nothing in it is a real place, and no number in it is evidence of anything.
"""

from __future__ import annotations

from typing import Any

import msgspec

from wainscot import voids as voids_step
from wainscot.access import Access, site_of, ways_to_open
from wainscot.job import Job
from wainscot.openings import Choice, Opening, Point
from wainscot.papers.opening_sheet.model import SheetView, VoidSaid
from wainscot.papers.opening_sheet.view import sheet_view

_ENTITIES: dict[str, dict[str, Any]] = {
    "settings": {"kind": "settings", "country": "UK", "year_built": 1968},
    "ground": {"kind": "storey", "name": "Ground floor", "height": 2.4},
    "kitchen": {
        "kind": "room", "name": "Kitchen", "storey": "ground",
        "polygon": [[0, 0], [3.6, 0], [3.6, 2.8], [0, 2.8]],
    },
    "hall": {
        "kind": "room", "name": "Hall", "storey": "ground",
        "polygon": [[3.7, 0], [5.2, 0], [5.2, 2.8], [3.7, 2.8]],
    },
    "supply": {
        "kind": "service", "type": "supply", "name": "cold supply",
        "path": [[3.65, 2.2, 0.0], [3.65, 2.2, 2.4]], "diameter": 0.015,
    },
}  # fmt: skip


def example() -> SheetView:
    """Return the sheet."""
    job = Job(id="job_example", title="Example: a kitchen", units="m", entities=_ENTITIES)
    plan = voids_step.framed(job).plan
    graph = voids_step.build(plan, "house mouse")
    ways = ways_to_open(plan, graph, site_of(job))
    way = next(
        one
        for one in ways
        if one.act == "strip of wall" and one.room == "kitchen" and "hall/w1" in one.id
    )
    told = _opening(way, tuple(graph.labels[reach.void] for reach in way.reaches))
    point = msgspec.convert(
        dict.fromkeys(Point.__struct_fields__, 0.0)
        | {"name": "balanced", "openings": (told.id,), "cost": 2.0, "missed": 0.2, "voids": 2},
        Point,
    )
    choice = msgspec.convert(
        dict.fromkeys(Choice.__struct_fields__, ())
        | {"change_order": None, "not_reached_chance": 0.0, "soiled": 1.0, "candidates": 1,
           "currency": "", "draws": 1}
        | {name: msgspec.to_builtins(point) for name in ("least", "balanced", "all_of_it")}
        | {"openings": (msgspec.to_builtins(told),)},
        Choice,
    )  # fmt: skip
    said = {
        graph.keys[reach.void]: VoidSaid(0.6, "found: droppings (few)") for reach in way.reaches
    }
    return sheet_view(job, choice, plan, graph, ways, date="2026-05-12", said=said)


def _opening(way: Access, labels: tuple[str, ...]) -> Opening:
    return Opening(
        id=way.id, act=way.act, words=way.words, room=way.room, voids=labels, partly=(),
        chance=0.6, cost=1.0, hours=1.5, status="planned", signed_by="", charges=way.charges,
        holds=way.holds, limits=way.limits, kept=(),
    )  # fmt: skip

"""What was seen once voids lay open, written into the job bay by bay.

    job = logged(job, plan, graph, {"F19": "clean", "F20": "nest"}, at="2026-05-20", by="crew")

Each void becomes an inspection by the method ``opened`` at the void's own middle, so that redrawing
loses nothing.  The next walk proposes only what is still worth opening.

Limits: the void counts as seen as far as ``share`` says; below 0.8 it is not told as open.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec
import shapely

from wainscot.errors import Fault, InputError, unknown_word
from wainscot.job import Job
from wainscot.plan.model import Plan
from wainscot.voids.graph import Graph

SIGHTS = ("clean", "light", "heavy", "nest")


def logged(
    job: Job,
    plan: Plan,
    graph: Graph,
    sights: Mapping[str, str],
    *,
    at: str = "",
    by: str = "",
    share: float = 1.0,
) -> Job:
    """Return the job with an inspection for each void that was opened.

    Parameters
    ----------
    job : Job
        A job without faults.
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids.
    sights : mapping of str
        Clean, light, heavy or nest, by the void's label or id.
    at : str
        When it was seen, as the job writes times; empty if nobody noted it.
    by : str
        Who saw it.
    share : float
        Share of each void that could be seen. [1]

    Raises
    ------
    InputError
        If a void is not there or a sight is no word of the four.
    """
    places = dict(zip(graph.labels, range(len(graph.keys)), strict=True)) | graph.index()
    hidden = {name: v for name, v in places.items() if graph.hidden[v]}
    labels = [label for label, closed in zip(graph.labels, graph.hidden, strict=True) if closed]
    faults = [
        unknown_word("unknown-void", "opened", "void", name, labels)
        for name in sights
        if name not in hidden
    ]
    faults += [
        Fault("unknown-amount", f"opened.{name}", f"{sight!r} says nothing of what was seen",
              f"write one of {', '.join(SIGHTS)}")
        for name, sight in sights.items()
        if sight not in SIGHTS
    ]  # fmt: skip
    if faults:
        raise InputError(faults)
    entities = dict(job.entities)
    for name, sight in sights.items():
        entities[_free_id(entities, graph.labels[hidden[name]])] = {
            "kind": "inspection",
            "method": "opened",
            "place": _place(plan, graph, hidden[name]),
            "finds": [{"kind": "opened and seen", "amount": sight}],
            **({"at": at} if at else {}),
            **({"by": by} if by else {}),
            **({"share_seen": share} if share < 1.0 else {}),
        }
    return msgspec.structs.replace(job, entities=entities)


def _place(plan: Plan, graph: Graph, void: int) -> dict[str, Any]:
    """The middle of a void, as a place writes it: to the millimetre, from its storey's floor."""
    middle = shapely.Polygon(graph.polygon[void]).representative_point()
    height = (graph.bottom[void] + graph.top[void]) / 2
    storey = graph.storeys[void]
    return {
        "storey": storey,
        "at": [round(float(middle.x), 3), round(float(middle.y), 3)],
        "height": round(float(height) - plan.storey(storey).elevation, 3),
    }


def _free_id(entities: Mapping[str, Any], label: str) -> str:
    """An id that says what was opened: ``opened_F19``, then ``opened_F19_2``."""
    word = "".join(c if c.isalnum() else "_" for c in label)
    first = f"opened_{word}"
    if first not in entities:
        return first
    return next(key for n in range(2, len(entities) + 3)
                if (key := f"{first}_{n}") not in entities)  # fmt: skip

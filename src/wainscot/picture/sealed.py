"""The seal map: the plan with every place to close under its number in the list.

    svg = draw(seal_map(job, plan, graph, sealing, date="12 May 2026"), theme="day")

Numbers, letters and their order are those that ``wainscot seals`` prints.  A mark tells by its form
what it is (close, part at once, stays open) and by a letter beside the number for whom.

Limits: places nearer to each other than :data:`APART` in one panel share a mark; a side that stays
open has one mark in each panel, at the middle of its places.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from wainscot.job import Job
from wainscot.picture.compose import arranged
from wainscot.picture.layers import Layer, layers_of
from wainscot.picture.sheet import Line, Panel, Point, SealShape, SealSort, Sheet
from wainscot.picture.views import panel_of
from wainscot.plan.model import Plan
from wainscot.sealing import Row, Sealing, Spot, left_of, rows_of
from wainscot.voids.graph import Graph

APART = 0.9
"""Nearer places share a mark. [m]"""


def seal_map(job: Job, plan: Plan, graph: Graph, sealing: Sealing, *, date: str = "") -> Sheet:
    """Return the sheet of a job's seal lists.

    Parameters
    ----------
    job : Job
        For its title.
    plan : Plan
        For rooms, walls and fixtures.
    graph : Graph
        The voids; those of any species.
    sealing : Sealing
        The lists.
    date : str
        What stands as the date, in words.
    """
    rows = rows_of([one.seals for one in sealing.lists])
    parted = rows_of([sealing.isolation.seals]) if sealing.isolation else ()
    left = left_of(sealing.lists)
    layers = layers_of(plan, graph)
    marks = _Marks(graph, layers)
    heads = [(one.species, one.grade) for one in sealing.lists]
    for row in rows:
        marks.put("close", f"{row.number}{_whom(row, heads)}", row.words, row.spots)
    for row in parted:
        marks.put("part", f"P{row.number}", row.words, row.spots)
    for one in left:
        marks.put("open", one.letter, f"{one.words}: {one.why}", one.spots, once=True)
    panels = [
        _panel(panel_of(job, plan, graph, layer, {}, "seals"), graph, sealing.given_up,
               marks.found.get(i, ()))
        for i, layer in enumerate(layers)
    ]  # fmt: skip
    # A layer with nothing to say is left out; a storey's own view shows where the others lie.
    told = [i for i, panel in enumerate(panels)
            if layers[i].where == "view" or panel.seals
            or any(one.state == "given up" for one in panel.voids)]  # fmt: skip
    return Sheet(
        title=job.title or job.id, shows="seals", date=date, calculated=True,
        panels=arranged([panels[i] for i in told], [layers[i] for i in told]),
        units=plan.units,
        close=tuple(Line(str(row.number), _hours(row), _words(row)) for row in rows),
        part=tuple(Line(f"P{row.number}", f"{row.hours[0]:.1f}", _words(row)) for row in parted),
        stays_open=tuple(Line(one.letter, "", f"{one.words}: {one.why}") for one in left),
        notes=_notes(sealing, heads),
    )  # fmt: skip


class _Marks:
    """Marks by panel."""

    def __init__(self, graph: Graph, layers: Sequence[Layer]) -> None:
        self._graph = graph
        self._panel = {graph.keys[v]: i for i, layer in enumerate(layers) for v in layer.voids}
        rooms = {layer.storey: i for i, layer in enumerate(layers) if layer.where == "view"}
        for v in np.flatnonzero(~graph.hidden):
            self._panel[graph.keys[v]] = rooms[graph.storeys[v]]
        self.found: dict[int, list[SealShape]] = {}

    def put(
        self, sort: SealSort, label: str, words: str, spots: Sequence[Spot], *, once: bool = False
    ) -> None:
        """Add the marks of one line; one a panel where ``once``."""
        places: dict[int, list[Point]] = {}
        for spot in spots:
            places.setdefault(self._panel[spot.void], []).append(spot.at[:2])
        for panel, points in places.items():
            kept = [_middle(points)] if once else _apart(points)
            self.found.setdefault(panel, []).extend(
                SealShape(sort, label, words, at) for at in kept
            )


def _middle(points: Sequence[Point]) -> Point:
    """The one of the points that lies nearest to their middle."""
    x, y = (sum(axis) / len(points) for axis in zip(*points, strict=True))
    return min(points, key=lambda one: ((one[0] - x) ** 2 + (one[1] - y) ** 2, one))


def _apart(points: Sequence[Point]) -> list[Point]:
    kept: list[Point] = []
    for x, y in sorted(points):
        if all((x - a) ** 2 + (y - b) ** 2 >= APART**2 for a, b in kept):
            kept.append((x, y))
    return kept


def _whom(row: Row, heads: Sequence[tuple[str, str]]) -> str:
    """A letter where a row stands in the lists of one animal only: m mouse, r rat."""
    names = {name for (name, _), hours in zip(heads, row.hours, strict=True) if hours}
    if len(names) != 1:
        return ""
    return "m" if "mouse" in next(iter(names)) else "r"


def _hours(row: Row) -> str:
    """The greatest of the hours that the lists give it."""
    return f"{max(row.hours):.1f}"


def _words(row: Row) -> str:
    times = f" ({row.places} places)" if row.places > 1 else ""
    edge = "edge: " if row.sort == "edge to go along" else ""
    words = row.words.rpartition(": ")[2] if edge else row.words
    return f"{edge}{words}{times}: {row.material}"


def _panel(
    panel: Panel, graph: Graph, given_up: Sequence[str], seals: Sequence[SealShape]
) -> Panel:
    lost = {key for key, told in zip(graph.keys, graph.words, strict=True) if told in given_up}
    voids = tuple(
        msgspec.structs.replace(one, state="given up") if one.id in lost else one
        for one in panel.voids
    )
    return msgspec.structs.replace(panel, voids=voids, seals=tuple(seals))


def _notes(sealing: Sealing, heads: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    whole = "; ".join(
        f"{name.split()[-1]} {grade}: {one.hours:.1f} h"
        for (name, grade), one in zip(heads, sealing.lists, strict=True)
    )
    return (
        f"In all, {whole}.",
        "Of what was drawn and inspected only. The order, what stays open on purpose and the "
        "cautions stand in the list (wainscot seals).",
    )  # fmt: skip

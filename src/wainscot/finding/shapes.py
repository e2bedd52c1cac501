"""Outlines of the voids by storey and height, the ways between them, ways in and likely runs.

Limits: a ribbon shows which voids and passages a run takes, not the animal's path inside a void.
"""

from __future__ import annotations

import msgspec
from shapely import Polygon

from wainscot.diagnosis.answer import Diagnosis
from wainscot.picture.layers import Layer, Where, layers_of
from wainscot.picture.places import starts_of
from wainscot.picture.routes import draw_runs
from wainscot.picture.sheet import Point, RibbonShape, Ring
from wainscot.picture.views import inward
from wainscot.picture.wording import entry_labels
from wainscot.walk import Survey

LEAST_WAY = 0.05
"""Passages less likely open and run than this are no neighbourhood to walk by keys. [1]"""


class VoidOutline(msgspec.Struct, frozen=True):
    """One hidden void, seen from above."""

    id: str
    label: str
    kind: str
    words: str
    owner: str
    """Entity or side of a room (``kitchen/n1``) that it belongs to."""
    storey: str
    outline: Ring
    """[m]"""
    bottom: float
    top: float
    """Heights above level 0's finished floor. [m]"""
    spot: tuple[float, float, float]
    """A point in its middle: east, north, height over the storey's floor; what is logged at this
    place lies in it. [m]"""


class Level(msgspec.Struct, frozen=True):
    """Voids of one storey at one height: none lies over another of the same level."""

    storey: str
    where: Where
    """In the walls and rooms, under the floor, over the ceiling."""
    depth: int
    """0 nearest to the rooms."""
    lower: str
    """The storey beneath, whose ceiling is in this level too; else empty."""
    voids: tuple[int, ...]
    """Places in the list of voids."""


class WayIn(msgspec.Struct, frozen=True):
    """A drawn entry point."""

    id: str
    label: str
    words: str
    storey: str
    at: Point
    """[m]"""
    inward: Point
    """Unit vector into the building; (0, 0) where it comes up from below. [1]"""
    void: str


class Piece(msgspec.Struct, frozen=True):
    """The part of a run that lies in one level."""

    level: int
    line: Ring
    """[m]"""
    rises: int
    """Where it goes on at its end: 1 up, -1 down, 0 it ends here."""
    begins: bool


class RunLine(msgspec.Struct, frozen=True):
    """A likely run."""

    share: float
    """Share of the draws that reach its end by it. [1]"""
    words: str
    source: str
    voids: tuple[str, ...]
    pieces: tuple[Piece, ...]


class Shapes(msgspec.Struct, frozen=True):
    """Everything with a place; without a diagnosis there are no runs."""

    voids: tuple[VoidOutline, ...]
    levels: tuple[Level, ...]
    passages: tuple[tuple[int, int], ...]
    """Neighbours by a likely enough passage: places in the list of voids."""
    entries: tuple[WayIn, ...]
    runs: tuple[RunLine, ...]
    assumed: tuple[str, ...] = ()
    """Defaults that the outlines stand on, in words."""


def shapes(surveyed: Survey, diagnosis: Diagnosis | None = None) -> Shapes:
    """Return the shapes of a survey, with likely runs where there is a diagnosis.

    Parameters
    ----------
    surveyed : Survey
        Plan and graph; the same graph that the diagnosis speaks of.
    diagnosis : Diagnosis, optional
        For runs and the order of the ways in.
    """
    graph, plan = surveyed.graph, surveyed.plan
    layers = layers_of(plan, graph)
    hidden = [v for v in range(len(graph.keys)) if graph.hidden[v]]
    place = {v: n for n, v in enumerate(hidden)}
    likely = graph.prior_open * graph.prior_run >= LEAST_WAY
    return Shapes(
        voids=tuple(
            VoidOutline(
                graph.keys[v], graph.labels[v], graph.kinds[v], graph.words[v], graph.owners[v],
                graph.storeys[v],
                tuple((round(float(x), 4), round(float(y), 4)) for x, y in graph.polygon[v]),
                round(float(graph.bottom[v]), 3),
                round(float(graph.top[v]), 3),
                _spot(surveyed, v),
            )
            for v in hidden
        ),
        levels=tuple(
            Level(one.storey, one.where, one.depth, one.lower, tuple(place[v] for v in one.voids))
            for one in layers
        ),
        passages=tuple(
            (place[int(a)], place[int(b)])
            for p, (a, b) in enumerate(graph.edges)
            if likely[p] and int(a) in place and int(b) in place
        ),
        entries=_ways_in(surveyed, diagnosis),
        runs=_runs(surveyed, diagnosis, layers) if diagnosis else (),
        assumed=tuple(each.words for each in plan.assumptions),
    )  # fmt: skip


def _spot(surveyed: Survey, v: int) -> tuple[float, float, float]:
    graph = surveyed.graph
    inside = Polygon(graph.polygon[v]).representative_point()
    floor = surveyed.plan.storey(graph.storeys[v]).elevation
    height = float(graph.bottom[v] + graph.top[v]) / 2 - floor
    return (round(inside.x, 3), round(inside.y, 3), round(height, 3))


def _ways_in(surveyed: Survey, diagnosis: Diagnosis | None) -> tuple[WayIn, ...]:
    graph = surveyed.graph
    starts = starts_of(surveyed.plan, surveyed.graph)
    labels = entry_labels(diagnosis.entries) if diagnosis else {
        key: f"E{n}" for n, key in enumerate(sorted(starts), start=1)
    }  # fmt: skip
    found = []
    for e, key in enumerate(graph.source_keys):
        if key in starts:
            v = int(graph.source_void[e])
            found.append(
                WayIn(
                    key, labels.get(key, ""), graph.source_words[e], graph.storeys[v], starts[key],
                    inward(surveyed.plan, graph.storeys[v], starts[key]), graph.keys[v],
                )
            )  # fmt: skip
    return tuple(found)


def _runs(surveyed: Survey, diagnosis: Diagnosis, layers: tuple[Layer, ...]) -> tuple[RunLine, ...]:
    graph = surveyed.graph
    by_void = {v: n for n, layer in enumerate(layers) for v in layer.voids}
    rooms = {layer.storey: n for n, layer in enumerate(layers) if layer.where == "view"}
    for v, storey in enumerate(graph.storeys):
        if not graph.hidden[v] and storey in rooms:
            by_void[v] = rooms[storey]
    ribbons, lines = draw_runs(graph, diagnosis, by_void, starts_of(surveyed.plan, surveyed.graph))
    pieces: dict[str, list[tuple[int, RibbonShape]]] = {}
    for level, some in ribbons.items():
        for one in some:
            pieces.setdefault(one.letter, []).append((level, one))
    return tuple(
        RunLine(
            run.share, run.words, run.source, run.voids,
            tuple(
                Piece(level, one.line, one.rises, one.begins)
                for level, one in sorted(
                    pieces.get(line.label, []), key=lambda each: (not each[1].begins, each[0])
                )
            ),
        )
        for run, line in zip(diagnosis.runs, lines, strict=False)
    )  # fmt: skip

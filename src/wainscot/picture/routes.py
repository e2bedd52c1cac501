"""Likely runs as ribbons: the part of each run that lies in a panel, and where it goes on.

A run is a chain of voids from a way in to where signs are.  Within a panel it is drawn from the
passage that it comes in by to the passage that it leaves by; where it climbs or drops into another
panel, the ribbon ends in a ring with an arrow.

Limits: a ribbon shows which voids and passages a run takes, not the animal's path inside a void.
"""

from __future__ import annotations

import itertools

import numpy as np

from wainscot.arrays import Floats
from wainscot.diagnosis.answer import Diagnosis, Run
from wainscot.picture import tokens
from wainscot.picture.sheet import Line, Point, RibbonShape
from wainscot.picture.wording import in_ten
from wainscot.voids.graph import Graph


def draw_runs(
    graph: Graph,
    diagnosis: Diagnosis | None,
    by_void: dict[int, int],
    starts: dict[str, Point],
) -> tuple[dict[int, list[RibbonShape]], tuple[Line, ...]]:
    """Return the ribbons by panel, and the runs in words.

    Parameters
    ----------
    graph : Graph
        For the places of passages.
    diagnosis : Diagnosis or None
        For the runs.
    by_void : dict
        Panel of each void.
    starts : dict
        Where each drawn way in lies, by its id. [m]
    """
    shapes: dict[int, list[RibbonShape]] = {}
    lines: list[Line] = []
    runs = diagnosis.runs[: tokens.MOST_RIBBONS] if diagnosis else ()
    for letter, run in zip("ABC", runs, strict=False):
        for panel, ribbon in _pieces(graph, run, letter, by_void, starts):
            shapes.setdefault(panel, []).append(ribbon)
        lines.append(Line(letter, in_ten(run.share), run.words))
    return shapes, tuple(lines)


def _pieces(
    graph: Graph, run: Run, letter: str, by_void: dict[int, int], starts: dict[str, Point]
) -> list[tuple[int, RibbonShape]]:
    index = graph.index()
    chain = [index[key] for key in run.voids if key in index]
    chain = [v for v in chain if v in by_void]
    if not chain:
        return []
    doors = _doors(graph, chain, run.source, starts)
    found: list[tuple[int, RibbonShape]] = []
    start = 0
    while start < len(chain):
        end = start
        while end + 1 < len(chain) and by_void[chain[end + 1]] == by_void[chain[start]]:
            end += 1
        last = end + 1 == len(chain)
        line = [(door[0], door[1]) for door in doors[start : end + 2]]
        rises = 0 if last else _rises(graph, chain[end], chain[end + 1])
        ribbon = RibbonShape(letter, run.share, _tidy(line), rises, start == 0)
        found.append((by_void[chain[start]], ribbon))
        start = end + 1
    return found


def _doors(
    graph: Graph, chain: list[int], source: str, starts: dict[str, Point]
) -> list[tuple[float, float, float]]:
    """Points at which the run enters each void in turn, and where it ends."""
    between = {(int(a), int(b)): p for p, (a, b) in enumerate(graph.edges)}
    first = _plain(_centre(graph, chain[0]))
    if source in graph.source_keys:
        at = graph.source_at[graph.source_keys.index(source)]
        x, y = starts.get(source, _plain(at)[:2])
        first = (x, y, first[2])
    points = [first]
    for one, other in itertools.pairwise(chain):
        p = between.get((min(one, other), max(one, other)))
        at = graph.passage_at[p] if p is not None else _centre(graph, other)
        points.append(_plain(at))
    points.append(_plain(_centre(graph, chain[-1])))
    return points


def _plain(at: Floats) -> tuple[float, float, float]:
    return (float(at[0]), float(at[1]), float(at[2]))


def _centre(graph: Graph, v: int) -> Floats:
    outline = graph.polygon[v]
    middle = (outline.min(axis=0) + outline.max(axis=0)) / 2
    return np.array([*middle, (graph.bottom[v] + graph.top[v]) / 2])


def _rises(graph: Graph, here: int, there: int) -> int:
    up = graph.bottom[there] + graph.top[there] > graph.bottom[here] + graph.top[here]
    return 1 if up else -1


def _tidy(line: list[Point]) -> tuple[Point, ...]:
    """Leave out points that repeat the one before."""
    kept: list[Point] = []
    for x, y in line:
        if not kept or abs(kept[-1][0] - x) + abs(kept[-1][1] - y) > 0.02:
            kept.append((x, y))
    return tuple(kept)

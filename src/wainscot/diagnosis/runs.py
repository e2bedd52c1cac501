"""The likeliest runs: how animals get from outside to where they leave their signs, in words.

In every draw the likeliest way to a target is followed back.  Ways that differ only in which of
several like bays they pass count as one run; its words are those of its commonest way::

    outside > gap under the utility door > joist bays F3 to F5 > stud bay N7

Limits: a run is a way that the draws hold open, not a track that was seen.
"""

from __future__ import annotations

from collections import Counter
from itertools import groupby

import numpy as np

from wainscot.diagnosis.answer import Run
from wainscot.diagnosis.posterior import Sample
from wainscot.diagnosis.thin import Thin, likeliest_ways
from wainscot.voids.graph import Graph

MOST = 3
_LEAST_SHARE = 0.10

Way = tuple[str, tuple[int, ...], str]
"""Words of the way in, the voids from there to the target, and the id of the way in."""
Group = tuple[str, str]


def short_words(graph: Graph, v: int) -> str:
    """Return a void's words up to the first comma: ``stud bay N7``.

    Parameters
    ----------
    graph : Graph
        The voids.
    v : int
        Index of the void.
    """
    return graph.words[v].split(",")[0]


def _first_member(sample: Sample, e: int) -> int:
    """The likeliest of the graph's ways in that a kernel source stands for."""
    members = sample.merged.members[e]
    return int(members[np.argmax(sample.case.graph.source_prior[members, 1:].sum(axis=1))])


def source_words(sample: Sample, e: int) -> str:
    """Return a kernel source in words, from what lies beyond inwards.

    Parameters
    ----------
    sample : Sample
        The case.
    e : int
        Kernel source.
    """
    graph = sample.case.graph
    first = _first_member(sample, e)
    if graph.source_sort[first] == "settled":
        return "already inside"
    beyond = graph.source_pool[first].split(",")[0]
    if graph.source_sort[first] == "unknown":
        return f"{graph.source_pool[first] or 'outside'} > a way in nobody drew"
    return " > ".join(part for part in (beyond, graph.source_words[first]) if part)


def _group(graph: Graph, v: int) -> Group:
    return (graph.kinds[v], graph.owners[v])


def _group_words(graph: Graph, voids: list[int]) -> str:
    if len(voids) == 1:
        return short_words(graph, voids[0])
    kind = graph.kinds[voids[0]]
    first, last = graph.labels[voids[0]], graph.labels[voids[-1]]
    joined = "and" if len(voids) == 2 else "to"
    return f"{kind}s {first} {joined} {last}"


def words_of(graph: Graph, way: Way) -> str:
    """Return a way in words.

    Parameters
    ----------
    graph : Graph
        The voids.
    way : tuple
        Words of the way in, the voids, and the id of the way in.
    """
    parts = [way[0]]
    for _, voids in groupby(way[1], key=lambda v: _group(graph, v)):
        parts.append(_group_words(graph, list(voids)))
    return " > ".join(parts)


def _follow(before: np.ndarray, target: int) -> tuple[int, ...]:
    way = [target]
    while before[way[-1]] != way[-1]:
        way.append(int(before[way[-1]]))
    return tuple(reversed(way))


def _signature(graph: Graph, way: Way) -> tuple[str, tuple[Group, ...]]:
    groups = tuple(key for key, _ in groupby(way[1], key=lambda v: _group(graph, v)))
    return (way[0], groups)


def likeliest(draws: tuple[Thin, ...], targets: list[str], most: int = MOST) -> tuple[Run, ...]:
    """Return the likeliest runs to the targets, one a target before a second to any.

    Parameters
    ----------
    draws : tuple of Thin
        Picked draws.
    targets : list of str
        Ids of voids, the most wanted first.
    most : int
        How many runs to return.
    """
    ways = _counted(draws, targets)
    found = [run for key in targets for run in _of_target(draws, ways[key])]
    found.sort(key=lambda pair: pair[0])
    return _apart([run for _, run in found], most)


def way_to_each(draws: tuple[Thin, ...], targets: list[str]) -> dict[str, Run]:
    """Return the likeliest run to each target that is reached in any draw, by the target's id.

    Parameters
    ----------
    draws : tuple of Thin
        Picked draws.
    targets : list of str
        Ids of voids.
    """
    ways = _counted(draws, targets)
    found = {key: _of_target(draws, ways[key]) for key in targets}
    return {key: runs[0][1] for key, runs in found.items() if runs}


def _counted(draws: tuple[Thin, ...], targets: list[str]) -> dict[str, Counter[tuple[int, Way]]]:
    """How often each way to each target is the likeliest of its draw."""
    ways: dict[str, Counter[tuple[int, Way]]] = {key: Counter() for key in targets}
    for k, one in enumerate(draws):
        graph = one.sample.case.graph
        index = graph.index()
        before, source = likeliest_ways(one)
        for key in targets:
            v = index.get(key, -1)
            if v < 0:
                continue
            for t in np.flatnonzero(before[:, v] >= 0):
                voids = _follow(before[t], v)
                e = int(source[t, voids[0]])
                way_in = graph.source_keys[_first_member(one.sample, e)]
                ways[key][(k, (source_words(one.sample, e), voids, way_in))] += 1
    return ways


def _of_target(
    draws: tuple[Thin, ...], ways: Counter[tuple[int, Way]]
) -> list[tuple[tuple[int, float, str], Run]]:
    """Runs of one target with their order: best first, then second best."""
    total = sum(ways.values())
    groups: dict[object, Counter[tuple[int, Way]]] = {}
    for (k, way), count in sorted(ways.items(), key=lambda each: (-each[1], each[0])):
        graph = draws[k].sample.case.graph
        groups.setdefault(_signature(graph, way), Counter())[(k, way)] += count
    ranked = sorted(groups.values(), key=lambda each: -each.total())
    runs: list[tuple[tuple[int, float, str], Run]] = []
    for rank, group in enumerate(ranked[:2]):
        (k, way), _ = group.most_common(1)[0]
        graph = draws[k].sample.case.graph
        share = group.total() / total
        run = Run(share, tuple(graph.keys[v] for v in way[1]), way[2], words_of(graph, way))
        runs.append(((rank, -share, run.words), run))
    return [each for each in runs if each[1].share >= _LEAST_SHARE]


def _apart(runs: list[Run], most: int) -> tuple[Run, ...]:
    """Drop runs that are only the beginning of another, or the same."""
    kept: list[Run] = []
    for run in runs:
        beginning = any(
            other.source == run.source and other.voids[: len(run.voids)] == run.voids
            for other in runs
            if other is not run and (other.voids != run.voids or other in kept)
        )
        if not beginning:
            kept.append(run)
    return tuple(kept[:most])

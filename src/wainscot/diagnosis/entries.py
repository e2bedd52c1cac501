"""What we think of each way in: every drawn entry point, and the undrawn ones pooled.

Undrawn ways in along one side cannot be told apart by signs, so the answer is one chance that any
of them is used, with the voids where it is likeliest.

Limits: two undrawn ways in of one pool at one void count as independent given what reaches it.
"""

from __future__ import annotations

import numpy as np

from wainscot.arrays import Floats, Ints
from wainscot.diagnosis.answer import EntryAnswer
from wainscot.diagnosis.kernel import Population
from wainscot.diagnosis.posterior import Chances, Sample, pooled_chances, source_chances
from wainscot.voids.graph import Graph

_NEAR = 3
Pool = tuple[str, str]


def _pools(graph: Graph) -> list[Pool]:
    sorts = enumerate(graph.source_sort)
    return sorted({_pool_of(graph, e) for e, sort in sorts if sort != "entry point"})


def _pool_of(graph: Graph, e: int) -> Pool:
    sort = graph.source_sort[e]
    return ("settled", "") if sort == "settled" else (sort, graph.source_pool[e])


def _members(graph: Graph) -> dict[Pool, Ints]:
    """The graph's ways in by pool."""
    found: dict[Pool, list[int]] = {}
    for e in range(len(graph.source_keys)):
        found.setdefault(_pool_of(graph, e), []).append(e)
    return {pool: np.array(members, dtype=np.int32) for pool, members in found.items()}


def any_used(sample: Sample, population: Population, mine: Ints, least: int) -> Floats:
    """Return, for each draw, the chance that any of some ways in is used: [N]. [1]

    Parameters
    ----------
    sample : Sample
        The case.
    population : Population
        Its draws.
    mine : Ints
        Ways in of the case's graph.
    least : int
        1 for used at all, 2 for used now.
    """
    idle = 1.0 - sample.merged.parting[mine][:, :, least:].sum(axis=-1)
    states = population.source[:, sample.merged.group[mine]]
    # Whatever the signs, a way in that is never used is idle: only the few others count.
    draw, way = np.nonzero(states)
    none = np.ones(len(states))
    np.multiply.at(none, draw, idle[way, states[draw, way]])
    return 1.0 - none


def undrawn_words(pool: str) -> str:
    """Return a pool of undrawn ways in, in words.

    Parameters
    ----------
    pool : str
        What they are pooled under: ``outside, north side``.
    """
    return f"a way in nobody drew: {pool.replace('not drawn yet', 'beyond what is drawn')}"


def answers(samples: tuple[Sample, ...]) -> tuple[EntryAnswer, ...]:
    """Return what we think of every way in, the likeliest first; the answer's graph is the first's.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws.
    """
    graph = samples[0].case.graph
    used, now = source_chances(samples)
    found = [
        EntryAnswer(
            id=graph.source_keys[e],
            words=graph.source_words[e],
            sort="entry point",
            used=float(used.mean[e]),
            now=float(now.mean[e]),
            error=float(used.error[e]),
            void=graph.keys[graph.source_void[e]],
        )
        for e, sort in enumerate(graph.source_sort)
        if sort == "entry point"
    ]
    pools = _pools(graph)
    for pool, chance in zip(pools, _pool_chances(samples, pools), strict=True):
        found.append(_pool_answer(graph, pool, used, chance))
    return tuple(sorted(found, key=lambda one: (-round(one.used, 9), one.id)))


def _pool_chances(samples: tuple[Sample, ...], pools: list[Pool]) -> list[tuple[float, ...]]:
    """For each pool: the chance that any is used, that any is used now, the error of the first."""
    if not pools:
        return []
    by_sample = {id(sample): _members(sample.case.graph) for sample in samples}
    nobody = np.zeros(0, dtype=np.int32)

    def of_draws(sample: Sample, one: Population) -> Floats:
        members = by_sample[id(sample)]
        each = [
            any_used(sample, one, members.get(pool, nobody), least)
            for least in (1, 2)
            for pool in pools
        ]
        return np.stack(each, axis=1)

    chances, count = pooled_chances(samples, of_draws), len(pools)
    columns = (chances.mean[:count], chances.mean[count:], chances.error[:count])
    return list(zip(*(column.tolist() for column in columns), strict=True))


def _pool_answer(graph: Graph, pool: Pool, used: Chances, chance: tuple[float, ...]) -> EntryAnswer:
    members = [e for e in range(len(graph.source_keys)) if _pool_of(graph, e) == pool]
    likeliest = sorted(members, key=lambda e: (-round(float(used.mean[e]), 9), e))[:_NEAR]
    settled = pool[0] == "settled"
    ever, now, error = chance
    return EntryAnswer(
        id=pool[0] if settled else f"{pool[0]}: {pool[1]}",
        words="already inside: brought in, or shut in" if settled else undrawn_words(pool[1]),
        sort="settled" if settled else "unknown",
        used=ever,
        now=now,
        error=error,
        near=tuple(graph.words[graph.source_void[e]] for e in likeliest),
    )

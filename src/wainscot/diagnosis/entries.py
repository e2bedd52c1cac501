"""What we think of each way in: every drawn entry point, and the undrawn ones pooled.

Undrawn ways in along one side cannot be told apart by signs, so the answer is one chance that any
of them is used, with the voids where it is likeliest.

Limits: two undrawn ways in of one pool at one void count as independent given what reaches it.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from wainscot.arrays import Floats
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


def any_used(sample: Sample, population: Population, pool: Pool, least: int) -> Floats:
    """Return, for each draw, the chance that any way in of a pool is used: [N]. [1]

    Parameters
    ----------
    sample : Sample
        The case.
    population : Population
        Its draws.
    pool : tuple
        Sort and pool.
    least : int
        1 for used at all, 2 for used now.
    """
    graph = sample.case.graph
    mine = [e for e in range(len(graph.source_keys)) if _pool_of(graph, e) == pool]
    idle = 1.0 - sample.merged.parting[mine][:, :, least:].sum(axis=-1)
    states = population.source[:, sample.merged.group[mine]]
    return np.asarray(1.0 - np.prod(idle[np.arange(len(mine))[None, :], states], axis=1))


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
    found += [_pool_answer(samples, pool, used) for pool in _pools(graph)]
    return tuple(sorted(found, key=lambda one: (-round(one.used, 9), one.id)))


def _pool_answer(samples: tuple[Sample, ...], pool: Pool, used: Chances) -> EntryAnswer:
    graph = samples[0].case.graph
    members = [e for e in range(len(graph.source_keys)) if _pool_of(graph, e) == pool]
    likeliest = sorted(members, key=lambda e: (-round(float(used.mean[e]), 9), e))[:_NEAR]
    ever, now = (
        pooled_chances(samples, partial(any_used, pool=pool, least=least)) for least in (1, 2)
    )
    settled = pool[0] == "settled"
    return EntryAnswer(
        id=pool[0] if settled else f"{pool[0]}: {pool[1]}",
        words="already inside: brought in, or shut in" if settled else undrawn_words(pool[1]),
        sort="settled" if settled else "unknown",
        used=float(ever.mean[0]),
        now=float(now.mean[0]),
        error=float(ever.error[0]),
        near=tuple(graph.words[graph.source_void[e]] for e in likeliest),
    )

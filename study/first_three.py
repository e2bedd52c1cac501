"""Is the true way in among the first three named, as often as the draws themselves claim?

The true way in is the one that feeds most: of the latest state in use, the one whose joined part of
the house is largest.  The same is worked out in every draw.  The claim of a house is the share of
draws whose way in stands among the first three of the answer; the outcome is whether the truth's
does.  The number of houses in which it does must lie in the band of the sum of such claims.
"""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
from scipy.signal import fftconvolve

from study.houses import Answered
from wainscot.arrays import Floats, Ints
from wainscot.diagnosis.cases import Case
from wainscot.diagnosis.entries import answers
from wainscot.diagnosis.posterior import Sample
from wainscot.simulate.truth import parts

CLAIMED_DRAWS = 200
FIRST = 3


def label(graph: Any, e: int) -> str:
    """Return the id under which the answer tells a way in."""
    sort = graph.source_sort[e]
    if sort == "entry point":
        return str(graph.source_keys[e])
    return "settled" if sort == "settled" else f"{sort}: {graph.source_pool[e]}"


def main_ways(graph: Any, run: Ints, source: Ints) -> list[str]:
    """Return the ways in that feed most (several where they share one part of the house).

    Parameters
    ----------
    graph : Graph
        The voids.
    run : Ints
        [P] passages run.
    source : Ints
        [E] states of the graph's ways in.
    """
    latest = source.max(initial=0)
    if latest == 0:
        return []
    part = parts(graph, run.astype(bool))
    size = np.bincount(part)
    active = np.flatnonzero(source == latest)
    sizes = size[part[graph.source_void[active]]]
    return [label(graph, int(e)) for e in active[sizes == sizes.max()]]


def _apart(house: Answered, state: Ints, rng: np.random.Generator) -> Ints:
    """States of the graph's ways in, given those of the kernel's, drawn exactly."""
    graph = house.lived.seen.graph
    source = np.zeros(len(graph.source_keys), dtype=np.int64)
    for members, merged in zip(house.merged.members, state, strict=True):
        if merged == 0:
            continue
        if len(members) == 1:
            source[members] = merged
            continue
        joint = [one for one in product(range(3), repeat=len(members)) if max(one) == merged]
        chance = np.array([np.prod(graph.source_prior[members, list(one)]) for one in joint])
        source[members] = joint[int(rng.choice(len(joint), p=chance / chance.sum()))]
    return source


def claim(house: Answered) -> tuple[float, bool]:
    """Return the claimed chance that the true way in stands among the first three, and whether.

    Parameters
    ----------
    house : Answered
        The house.
    """
    rng = np.random.default_rng([house.lived.seed, 22])
    graph = house.lived.seen.graph
    case = Case(house.lived.truth.species, "", 1.0, graph, house.lived.evidence)
    sample = Sample(
        case, house.problem, house.merged, house.populations,
        np.arange(len(graph.keys)), np.arange(len(graph.source_keys)),
    )  # fmt: skip
    first = {one.id for one in answers((sample,))[:FIRST]}
    logs = np.array([one.log_evidence for one in house.populations])
    weights = np.exp(logs - logs.max())
    number = rng.multinomial(CLAIMED_DRAWS, weights / weights.sum())
    hits = 0
    for one, n in zip(house.populations, number, strict=True):
        for d in rng.choice(len(one.load), size=n, replace=n > len(one.load)):
            bits = np.unpackbits(one.run[d], bitorder="little")[: len(graph.edges)]
            ways = main_ways(graph, bits, _apart(house, one.source[d], rng))
            hits += bool(first.intersection(ways))
    state = house.lived.state
    true = main_ways(graph, state.run, state.source)
    return hits / CLAIMED_DRAWS, bool(first.intersection(true))


def band(claims: Floats, level: float = 0.99) -> tuple[int, int]:
    """Return the band of the number of hits if every claim is right.

    Parameters
    ----------
    claims : Floats
        [houses] claimed chances. [1]
    level : float
        Chance that the number lies within. [1]
    """
    law = np.ones(1)
    for p in claims:
        law = fftconvolve(law, np.array([1.0 - p, p])) if len(law) > 500 else np.convolve(
            law, np.array([1.0 - p, p])
        )  # fmt: skip
    passed = np.cumsum(law)
    low = int(np.searchsorted(passed, (1.0 - level) / 2))
    high = int(np.searchsorted(passed, 1.0 - (1.0 - level) / 2))
    return low, high

"""How well chances of soil fit the truth in houses that break the model, against simpler rules.

Baselines: *prior only* (no sign is read), *each void by itself* (its own signs and its prior, no
passage between voids), *nearest sign* (the share of soiled voids at that distance from the nearest
find and look, learnt on houses of the first generator).
"""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from study.houses import lived_in
from wainscot.arrays import Bools, Floats, Ints
from wainscot.diagnosis.cases import cases
from wainscot.diagnosis.posterior import void_chances
from wainscot.diagnosis.problem import make
from wainscot.diagnosis.sampling import Effort, sample_cases
from wainscot.signs import DEFAULT
from wainscot.signs.evidence import Evidence
from wainscot.simulate import draw, scene
from wainscot.simulate.other import Pair, live, other_house
from wainscot.simulate.truth import soil_prior
from wainscot.voids.graph import Graph

LEAST_VOIDS, MOST_VOIDS = 40, 220
PRIOR_DRAWS = 1000
DISTANCES = np.array([0.05, 0.5, 1.0, 2.0, 4.0, 8.0])
"""Bounds of the classes of distance to a sign. [m]"""
RULES = ("engine", "prior only", "each void by itself", "nearest sign")
CLIP = 1e-3
"""Chances are kept this far from 0 and 1 in the log loss. [1]"""


def broken_house(rng: np.random.Generator) -> tuple[int, Pair]:
    """Return the first house of the second generator that is neither tiny nor large, and its seed.

    Parameters
    ----------
    rng : Generator
        Seeds are drawn from it; the truth plays no part.
    """
    while True:
        inner = int(rng.integers(2**31))
        pair = other_house(inner)
        if LEAST_VOIDS <= len(scene(pair.drawn).graph.keys) <= MOST_VOIDS:
            return inner, pair


def spots(drawn: Graph, true: Graph) -> Ints:
    """Return the true void at the middle of each drawn one, -1 where there is none.

    Parameters
    ----------
    drawn, true : Graph
        The graph that the diagnosis has, and the true one.
    """
    tree = shapely.STRtree([shapely.Polygon(one) for one in true.polygon])
    found = np.full(len(drawn.keys), -1, dtype=np.int64)
    for v, outline in enumerate(drawn.polygon):
        middle = shapely.Polygon(outline).representative_point()
        height = 0.5 * (drawn.bottom[v] + drawn.top[v])
        there = [
            int(w)
            for w in tree.query(middle, predicate="intersects")
            if true.bottom[w] <= height <= true.top[w] and true.hidden[w] == drawn.hidden[v]
        ]
        if there:
            found[v] = min(there, key=lambda w: float(true.volume[w]))
    return found


def prior_draws(graph: Graph, rng: np.random.Generator) -> Floats:
    """Return how often each void has each load and reach, no sign read: [V, loads, 3]. [1]

    Parameters
    ----------
    graph : Graph
        The voids.
    rng : numpy.random.Generator
        Source of randomness.
    """
    counts = np.zeros((len(graph.keys), len(DEFAULT.load), 3))
    every = np.arange(len(graph.keys))
    for _ in range(PRIOR_DRAWS):
        state = draw(graph, rng)
        counts[every, state.load, state.reach] += 1.0
    return np.asarray(counts / PRIOR_DRAWS)


def signs_near(graph: Graph, evidence: Evidence) -> Ints:
    """Return the class of each void by its distance to the nearest find and look: [V].

    Parameters
    ----------
    graph : Graph
        The voids.
    evidence : Evidence
        What was found, and where.
    """
    middle = np.array([
        (*one.mean(axis=0), 0.5 * (low + high))
        for one, low, high in zip(graph.polygon, graph.bottom, graph.top, strict=True)
    ])  # fmt: skip
    finds = sorted({v for one in evidence.statements if one.positive for v in one.found_in()})
    finds += [int(graph.source_void[one.source]) for one in evidence.statements
              if one.positive and one.source >= 0]  # fmt: skip
    looks = sorted({
        int(v) for one in evidence.statements if not one.positive for v in one.voids
    })  # fmt: skip
    away = [
        np.linalg.norm(middle[:, None] - middle[some][None], axis=2).min(axis=1)
        if some else np.full(len(middle), np.inf)
        for some in (finds, looks)
    ]  # fmt: skip
    classes = [np.searchsorted(DISTANCES, one) for one in away]
    return np.asarray(classes[0] * (len(DISTANCES) + 1) + classes[1])


def learnt(seed: int) -> tuple[list[int], list[int]]:
    """Return, for one house of the first generator, voids and soiled voids by class of distance.

    Parameters
    ----------
    seed : int
        Of the house.
    """
    lived = lived_in(seed)
    classes = signs_near(lived.seen.graph, lived.evidence)[lived.seen.graph.hidden]
    soiled = lived.state.soiled[lived.seen.graph.hidden]
    size = (len(DISTANCES) + 1) ** 2
    return (
        np.bincount(classes, minlength=size).tolist(),
        np.bincount(classes, weights=soiled, minlength=size).astype(int).tolist(),
    )


def house(seed: int, share: Floats) -> dict[str, Any]:
    """Return truth and every rule's chances of one house of the second generator.

    Parameters
    ----------
    seed : int
        Of the house.
    share : Floats
        Share of soiled voids by class of distance, from :func:`learnt`. [1]
    """
    rng = np.random.default_rng([seed, 30])
    inner, pair = broken_house(rng)
    lived = live(pair, inner, 2 + seed % 2)
    case = cases(lived.job)[0]
    graph, evidence = case.graph, case.evidence
    samples = sample_cases((case,), Effort(seed, 8, 2048, 1), "study", None)
    at = spots(graph, lived.seen.graph)
    kept: Bools = (at >= 0) & graph.hidden
    prior = prior_draws(graph, rng)
    clean = soil_prior(graph, DEFAULT)
    problem, _ = make(graph, evidence)
    rows = problem.detail[problem.row_of]
    alone = (prior * rows[..., 1:].sum(axis=-1)).sum(axis=(1, 2))
    alone /= (prior * rows.sum(axis=-1)).sum(axis=(1, 2))
    chances = {
        "engine": np.clip(void_chances(samples)["soiled"].mean, 0.0, 1.0),
        "prior only": (prior * clean[..., 1:].sum(axis=-1)).sum(axis=(1, 2)),
        "each void by itself": alone,
        "nearest sign": share[signs_near(graph, evidence)],
    }
    return {
        "shape": pair.shape,
        "truth": lived.state.soiled[at[kept]].astype(int).tolist(),
        **{name: np.round(one[kept], 5).tolist() for name, one in chances.items()},
    }


def scores(houses: list[dict[str, Any]]) -> dict[str, Any]:
    """Return Brier score and log loss of every rule, with errors over houses, and reliability.

    Parameters
    ----------
    houses : list of dict
        From :func:`house`.
    """
    found: dict[str, Any] = {}
    base = _losses(houses, "engine")
    for rule in RULES:
        loss = _losses(houses, rule)
        mean, more = loss.mean(axis=0), loss - base
        error = more.std(axis=0, ddof=1) / np.sqrt(len(houses))
        found[rule] = {
            "brier": round(float(mean[0]), 5),
            "log_loss": round(float(mean[1]), 5),
            "brier_above_engine": [round(float(more[:, 0].mean()), 5), round(float(error[0]), 5)],
            "log_loss_above_engine": [
                round(float(more[:, 1].mean()), 5), round(float(error[1]), 5),
            ],
            "reliability": reliability(houses, rule),
        }  # fmt: skip
    return found


def _losses(houses: list[dict[str, Any]], rule: str) -> Floats:
    """Mean Brier and log loss of each house: [houses, 2]; every house counts alike."""
    rows = []
    for one in houses:
        p, truth = np.array(one[rule]), np.array(one["truth"])
        q = np.clip(p, CLIP, 1.0 - CLIP)
        rows.append((
            np.mean((p - truth) ** 2),
            -np.mean(np.where(truth == 1, np.log(q), np.log(1.0 - q))),
        ))  # fmt: skip
    return np.array(rows)


def reliability(houses: list[dict[str, Any]], rule: str, bins: int = 10) -> list[dict[str, float]]:
    """Return claimed chance, share that came true and its error over houses, by class of chance.

    Parameters
    ----------
    houses : list of dict
        From :func:`house`.
    rule : str
        Whose chances.
    bins : int
        Classes of equal width.
    """
    sums = np.zeros((len(houses), bins, 3))
    for h, one in enumerate(houses):
        p, truth = np.array(one[rule]), np.array(one["truth"])
        which = np.minimum((p * bins).astype(int), bins - 1)
        for column, weight in enumerate((np.ones(len(p)), p, truth)):
            sums[h, :, column] = np.bincount(which, weights=weight, minlength=bins)
    total = sums.sum(axis=0)
    rows = []
    for k in range(bins):
        n = total[k, 0]
        if n == 0:
            continue
        share = total[k, 2] / n
        off = sums[:, k, 2] - share * sums[:, k, 0]
        rows.append({
            "voids": int(n),
            "claimed": round(float(total[k, 1] / n), 4),
            "true": round(float(share), 4),
            "error": round(float(np.sqrt((off**2).sum()) / n), 4),
        })  # fmt: skip
    return rows

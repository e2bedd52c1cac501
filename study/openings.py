"""What the three sets of openings come to in houses whose truth is known, against simpler rules.

First generator: the truth is drawn from the model itself.  Second: other shapes, framing drawn
wrongly, rates off by up to a factor of two.  For every set: openings made, soiled voids missed,
hours of opening, and hours with the callbacks of what was missed at the truth's soiling.

Rules: *open everything* lays every void open that any opening reaches; *nearest signs* opens where
something was found and next to it; *greedy* takes the best opening for its hours, one by one.

Limits: the default rates of the book (no currency: hours); species and joists as the job has them;
in the second generator a true void that is not drawn is not counted.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from study.houses import answered, lived_in
from study.scores import LEAST_VOIDS, MOST_VOIDS, spots
from wainscot.access import site_of, ways_to_open
from wainscot.arrays import Floats, Ints
from wainscot.book import DEFAULT
from wainscot.checks import Pooled
from wainscot.checks.stakes import loss_if_left
from wainscot.diagnosis.cases import cases
from wainscot.diagnosis.populations import Population
from wainscot.diagnosis.posterior import weights
from wainscot.diagnosis.sampling import Effort, sample_cases
from wainscot.job import Job
from wainscot.openings import Asked, Judge, known_of, problem_of
from wainscot.openings.judging_draws import soiled
from wainscot.openings.plans import BALANCED_WEIGHT, LEAST_WEIGHT
from wainscot.openings.solving import GAP
from wainscot.plan.model import Plan
from wainscot.signs.evidence import Evidence
from wainscot.simulate import scene
from wainscot.simulate.other import live, other_house
from wainscot.voids.graph import Graph

SETS = ("least", "balanced", "open it all", "open everything", "nearest signs", "greedy")
MEASURES = ("openings", "voids_opened", "soiled_missed", "any_missed", "hours", "hours_in_all")
DRAWS = 128
"""Draws of each of eight populations."""
CALLBACK = np.array([
    0.0, DEFAULT.callback_nest.value, DEFAULT.callback_light.value, DEFAULT.callback_nest.value,
    DEFAULT.callback_heavy.value, DEFAULT.callback_nest.value,
])  # fmt: skip
"""By soil (none, light, heavy) x nest (no, yes), nest varying fastest. [h]"""


def first(seed: int) -> dict[str, list[float]]:
    """Return what every set comes to in one house of the first generator."""
    lived = lived_in(seed)
    found = answered(lived, draws=DRAWS).populations
    logs = np.array([one.log_evidence for one in found])
    share = np.exp(logs - logs.max())
    pooled = _pooled(found, share / share.sum())
    seen = lived.seen
    return _outcomes(seen.job, seen.plan, seen.graph, lived.evidence, pooled, lived.state.cell)


def second(seed: int) -> dict[str, list[float]]:
    """Return what every set comes to in one house of the second generator."""
    rng = np.random.default_rng([seed, 40])
    while True:
        inner = int(rng.integers(2**31))
        pair = other_house(inner)
        if LEAST_VOIDS <= len(scene(pair.drawn).graph.keys) <= MOST_VOIDS:
            break
    lived = live(pair, inner, 2 + seed % 2)
    case = cases(lived.job)[0]
    (sample,) = sample_cases((case,), Effort(seed, 8, 8 * DRAWS, 1), "study", None)
    pooled = _pooled(sample.populations, weights((sample,))[0])
    drawn = scene(lived.job, case.species, case.guess)
    at = spots(case.graph, lived.seen.graph)
    cell = np.where(at >= 0, lived.state.cell[np.maximum(at, 0)], 0)
    return _outcomes(drawn.job, drawn.plan, case.graph, case.evidence, pooled, cell)


def _pooled(found: tuple[Population, ...], share: Floats) -> Pooled:
    """Return the draws of one case as the choice reads them."""
    weight = np.concatenate(
        [np.full(len(one.load), w / len(one.load)) for one, w in zip(found, share, strict=True)]
    )
    zeros = np.zeros(len(weight), dtype=np.int32)
    return Pooled(
        reach=np.concatenate([one.reach for one in found]),
        soil=np.concatenate([one.soil for one in found]),
        nest=np.concatenate([one.nest for one in found]),
        weight=weight, species=("",), species_of=zeros, choices=({},), guess_of=zeros,
        source=np.zeros((len(weight), 0), dtype=np.uint8),
    )  # fmt: skip


def _outcomes(
    job: Job, plan: Plan, graph: Graph, evidence: Evidence, pooled: Pooled, cell: Ints
) -> dict[str, list[float]]:
    """Return every measure of every set."""
    ways = ways_to_open(plan, graph, site_of(job))
    known = known_of(job, plan, graph, evidence, ways)
    shut = graph.hidden.copy()
    shut[list(known.seen)] = False
    voids = np.flatnonzero(shut)
    loss = np.zeros(len(shut))
    loss[voids] = pooled.weight @ loss_if_left(pooled, voids, DEFAULT)
    problem = problem_of(ways, loss, DEFAULT)
    judge = Judge(problem, soiled(pooled, shut), pooled.weight, Asked(), GAP)
    place = {name: o for o, name in enumerate(problem.ids)}
    pairs = [(int(a), int(b)) for a, b in graph.edges if shut[a] and shut[b]]
    points = (
        judge.best("least", LEAST_WEIGHT), judge.best("balanced", BALANCED_WEIGHT),
        judge.all_of_it(), judge.everything(),
        judge.near_signs([v for v in sorted(known.found_in) if shut[v]], pairs), judge.greedy(),
    )  # fmt: skip
    out: dict[str, list[float]] = {"soiled": [float((shut & (cell > 0)).sum())]}
    for name, point in zip(SETS, points, strict=True):
        chosen = [place[one] for one in point.openings]
        missed = shut & (cell > 0) & (problem.reached(chosen) == 0)
        left = (1.0 - problem.best_share(chosen)) * CALLBACK[cell] * shut
        out[name] = [
            float(len(chosen)), float(point.voids), float(missed.sum()), float(missed.any()),
            point.cost, point.cost + float(left.sum()),
        ]  # fmt: skip
    return out


def summary(houses: list[dict[str, list[float]]]) -> dict[str, Any]:
    """Return means with 95 % intervals over houses, and every set against the balanced one.

    Parameters
    ----------
    houses : list of dict
        From :func:`first` or :func:`second`.
    """
    base = np.array([one["balanced"] for one in houses])
    found: dict[str, Any] = {
        "houses": len(houses),
        "soiled_voids": _mean(np.array([one["soiled"][0] for one in houses])),
    }
    for name in SETS:
        values = np.array([one[name] for one in houses])
        found[name] = {m: _mean(values[:, k]) for k, m in enumerate(MEASURES)}
        found[name]["hours_in_all_above_balanced"] = _mean(values[:, -1] - base[:, -1])
        found[name]["houses_where_balanced_costs_more"] = int(
            (base[:, -1] > values[:, -1] + 1e-9).sum()
        )
    return found


def _mean(values: Floats) -> list[float]:
    """Mean and the half width of its 95 % interval."""
    half = 1.96 * float(values.std(ddof=1)) / np.sqrt(len(values))
    return [round(float(values.mean()), 3), round(float(half), 3)]


def passes(found: dict[str, Any]) -> bool:
    """Whether the balanced set surely costs less in all than open everything and nearest signs."""
    above = [found[name]["hours_in_all_above_balanced"] for name in SETS[3:5]]
    return all(mean > half for mean, half in above)

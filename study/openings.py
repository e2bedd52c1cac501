"""What the three sets of openings come to in houses whose truth is known, against simpler rules.

First generator: the truth is drawn from the model itself.  Second: other shapes, framing drawn
wrongly, rates off by up to a factor of two.  For every set: openings made, soiled voids missed,
hours of opening, and hours with the callbacks of what was missed at the truth's soiling, each
counted once and as often as the balanced set counts them.  What is claimed (chance that any soiled
void is missed, that heavy soil or a nest is) stands beside how often it happened.

Rules: *open everything* lays every void open that any opening reaches; *nearest signs* opens where
something was found and next to it; *greedy* takes the best opening for its hours, one by one.

Limits: the default rates of the book (no currency: hours); species and joists as the job has them;
in the second generator a true void that is not drawn is not counted.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from study.houses import answered, lived_in, pooled
from study.scores import broken_house, spots
from wainscot.access import site_of, ways_to_open
from wainscot.arrays import Bools, Floats, Ints
from wainscot.book import DEFAULT
from wainscot.checks import Pooled
from wainscot.checks.stakes import loss_if_left
from wainscot.diagnosis.cases import cases
from wainscot.diagnosis.posterior import weights
from wainscot.diagnosis.sampling import Effort, sample_cases
from wainscot.job import Job
from wainscot.openings import Asked, Judge, known_of, problem_of
from wainscot.openings.judging_draws import heavily, soiled
from wainscot.openings.plans import LEAST_WEIGHT, Point
from wainscot.openings.solving import GAP
from wainscot.plan.model import Plan
from wainscot.signs.evidence import Evidence
from wainscot.simulate import scene
from wainscot.simulate.other import live
from wainscot.voids.graph import Graph

SETS = ("least", "balanced", "open it all", "open everything", "nearest signs", "greedy")
OTHERS = {"callback x 0.25": 0.25, "callback x 4": 4.0}
"""Further points of the curve, to see what another balance would do."""

DRAWS = 256
"""Draws of each of eight populations."""
CALLBACK = np.array([
    0.0, DEFAULT.callback_nest.value, DEFAULT.callback_light.value, DEFAULT.callback_nest.value,
    DEFAULT.callback_heavy.value, DEFAULT.callback_nest.value,
])  # fmt: skip
"""By soil (none, light, heavy) x nest (no, yes), nest varying fastest. [h]"""
LIGHT = 2
"""The cell of light soil without a nest."""
COUNTS = DEFAULT.callback_counts.value
"""What the balanced set counts an hour of callback beside an hour of opening. [1]"""
CLAIMS = {
    "claimed_any": "any_missed", "claimed_avoidable": "avoidable_missed",
    "claimed_heavy": "heavy_missed", "claimed_heavy_avoidable": "heavy_avoidable_missed",
}  # fmt: skip
"""Each chance that is claimed, and what happened."""
CLASSES = (0.0, 0.1, 0.33, 0.66, 0.9, 1.0)
"""Bounds of the classes of claims, those of the chance words."""

Outcome = dict[str, dict[str, float]]


def first(seed: int) -> Outcome:
    """Return what every set comes to in one house of the first generator."""
    lived = lived_in(seed)
    found = answered(lived, draws=DRAWS).populations
    draws = pooled(found)
    seen = lived.seen
    return _outcomes(seen.job, seen.plan, seen.graph, lived.evidence, draws, lived.state.cell)


def second(seed: int) -> Outcome:
    """Return what every set comes to in one house of the second generator."""
    rng = np.random.default_rng([seed, 40])
    inner, pair = broken_house(rng)
    lived = live(pair, inner, 2 + seed % 2)
    case = cases(lived.job)[0]
    (sample,) = sample_cases((case,), Effort(seed, 8, 8 * DRAWS, 1), "study", None)
    draws = pooled(sample.populations, weights((sample,))[0])
    drawn = scene(lived.job, case.species, case.guess)
    at = spots(case.graph, lived.seen.graph)
    cell = np.where(at >= 0, lived.state.cell[np.maximum(at, 0)], 0)
    return _outcomes(drawn.job, drawn.plan, case.graph, case.evidence, draws, cell)


def _outcomes(
    job: Job, plan: Plan, graph: Graph, evidence: Evidence, draws: Pooled, cell: Ints
) -> Outcome:
    """Return every measure of every set."""
    ways = ways_to_open(plan, graph, site_of(job))
    known = known_of(job, plan, graph, evidence, ways)
    shut = graph.hidden.copy()
    shut[list(known.seen)] = False
    voids = np.flatnonzero(shut)
    loss = np.zeros(len(shut))
    loss[voids] = draws.weight @ loss_if_left(draws, voids, DEFAULT)
    problem = problem_of(ways, loss, DEFAULT)
    judge = Judge(problem, soiled(draws, shut), heavily(draws, shut), draws.weight, Asked(), GAP)
    pairs = [(int(a), int(b)) for a, b in graph.edges if shut[a] and shut[b]]
    points = (
        judge.best("least", LEAST_WEIGHT), judge.best("balanced", COUNTS), judge.all_of_it(),
        judge.everything(),
        judge.near_signs([v for v in sorted(known.found_in) if shut[v]], pairs),
        judge.greedy(COUNTS), *(judge.best(name, weight) for name, weight in OTHERS.items()),
    )  # fmt: skip
    there = shut & (cell > 0)
    out = {"house": {
        "soiled": float(there.sum()),
        "soiled_out_of_reach": float((there & ~judge.reachable).sum()),
    }}  # fmt: skip
    for name, point in zip((*SETS, *OTHERS), points, strict=True):
        out[name] = _measures(point, judge, shut, cell)
    return out


def _measures(point: Point, judge: Judge, shut: Bools, cell: Ints) -> dict[str, float]:
    """Return what one set claims and what it came to."""
    problem = judge.problem
    place = {name: o for o, name in enumerate(problem.ids)}
    chosen = [place[one] for one in point.openings]
    missed = shut & (cell > 0) & (problem.reached(chosen) == 0)
    heavy = missed & (cell != LIGHT)
    left = float(((1.0 - problem.best_share(chosen)) * CALLBACK[cell] * shut).sum())
    found = {
        "openings": len(chosen), "voids_opened": point.voids, "soiled_missed": missed.sum(),
        "any_missed": missed.any(), "avoidable_missed": (missed & judge.reachable).any(),
        "heavy_missed": heavy.any(), "heavy_avoidable_missed": (heavy & judge.reachable).any(),
        "hours": point.cost, "callback_hours": left, "hours_in_all": point.cost + left,
        "hours_counted": point.cost + COUNTS * left,
        "claimed_any": point.missed, "claimed_avoidable": point.avoidable,
        "claimed_heavy": point.heavy, "claimed_heavy_avoidable": point.heavy_avoidable,
        "claimed_missed": point.number, "claimed_callback_hours": point.loss_left,
    }  # fmt: skip
    return {key: float(value) for key, value in found.items()}


def summary(houses: list[Outcome]) -> dict[str, Any]:
    """Return means with 95 % intervals over houses, claims beside what happened, comparisons.

    Parameters
    ----------
    houses : list of dict
        From :func:`first` or :func:`second`.
    """
    found: dict[str, Any] = {"houses": len(houses)}
    for name in ("house", *SETS, *OTHERS):
        values = {m: np.array([one[name][m] for one in houses]) for m in houses[0][name]}
        found[name] = {m: mean(each) for m, each in values.items()}
    for name in (*SETS, *OTHERS):
        for key in ("hours_in_all", "hours_counted"):
            above = np.array([one[name][key] - one["balanced"][key] for one in houses])
            found[name][f"{key}_above_balanced"] = mean(above)
        found[name]["houses_where_it_costs_less"] = int((above < -1e-9).sum())
        found[name]["claims"] = {
            claim: _claim(
                np.array([one[name][claim] for one in houses]),
                np.array([one[name][happened] for one in houses]),
            )
            for claim, happened in CLAIMS.items()
        }
    return found


def _claim(claimed: Floats, happened: Floats) -> dict[str, Any]:
    """Return how often something was claimed and happened, over all and by class of claim.

    ``z`` is the difference over its standard error if every claim were right.
    """
    spread = float(np.sqrt((claimed * (1.0 - claimed)).sum()))
    apart = float((happened - claimed).sum())
    classes = np.clip(np.searchsorted(CLASSES, claimed, side="right") - 1, 0, len(CLASSES) - 2)
    table = [
        [CLASSES[k], CLASSES[k + 1], int(some.sum()), round(float(claimed[some].mean()), 3),
         round(float(happened[some].mean()), 3)]
        for k in range(len(CLASSES) - 1) if (some := classes == k).any()
    ]  # fmt: skip
    return {
        "claimed": round(float(claimed.mean()), 3), "happened": round(float(happened.mean()), 3),
        "z": round(apart / spread, 2) if spread > 0 else 0.0, "by_class": table,
    }  # fmt: skip


def mean(values: Floats) -> list[float]:
    """Mean and the half width of its 95 % interval."""
    half = 1.96 * float(values.std(ddof=1)) / np.sqrt(len(values))
    return [round(float(values.mean()), 3), round(float(half), 3)]


def passes(found: dict[str, Any]) -> bool:
    """Whether the balanced set surely costs less than the plain rules and its claims hold.

    Callbacks are counted as the balanced set counts them; a claim holds within four standard
    errors, because the set is chosen on the draws that it is judged on.
    """
    above = [found[name]["hours_counted_above_balanced"] for name in SETS[3:5]]
    claims = found["balanced"]["claims"].values()
    return all(mean > half for mean, half in above) and all(abs(c["z"]) < 4 for c in claims)

"""The whole walk against simpler ways to decide, by what each comes to where the truth is known.

Every house is visited once.  Then each rule looks further, opens, and pays:

- *wainscot*: the check that is worth most as long as one pays, four at most; then the balanced set.
- *greedy*: the same draws, but always the look at the likeliest void, three of them; then the best
  opening for its hours, one by one, as long as one pays.
- *nearest sign*: three looks, the nearest to a find; then what is beside a find is opened.
- *each void by itself*: every void by its own signs and its prior, no passages; then as *wainscot*.
- *prior only*: no look and no sign; the balanced set of the prior.

Counted are looks and their hours, openings and their hours, soiled voids left shut, callbacks (one
where heavy soil or a nest is left that an opening would have reached) and the hours of callback at
the true soiling.  ``hours`` adds them up; ``hours_counted`` counts an hour of callback twice, as
the balanced set does.

First generator: the truth is drawn from the model.  Second: shapes, framing and rates are off.

Limits: default rates of the book (hours); one round of openings, nobody opens on beside a bay that
proved soiled; species and framing as drawn; no look is made twice; looks at ways in and those that
only tell the framing are left out.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

import msgspec
import numpy as np

from study.houses import DRAWS, POPULATIONS, pooled, small_house
from study.openings import CALLBACK, COUNTS, LIGHT
from study.scores import broken_house, spots
from study.sharing import shared_out
from wainscot import signs
from wainscot.access import Access, site_of, ways, ways_to_open
from wainscot.arrays import Bools, Floats, Ints
from wainscot.book import DEFAULT as BOOK
from wainscot.checks import Check, Pooled, rank
from wainscot.checks.stakes import cost_of, loss_if_left
from wainscot.diagnosis import kernel
from wainscot.diagnosis.problem import make
from wainscot.job import Job
from wainscot.openings import GAP, Asked, Judge, Point, known_of, problem_of
from wainscot.openings.judging_draws import heavily, soiled
from wainscot.signs import DEFAULT as RATES
from wainscot.signs import Evidence, Rates
from wainscot.simulate import Scene, State, draw, inspect, scene, spread, state_of
from wainscot.simulate.looking import logged, place_in
from wainscot.simulate.other import live, off_rates
from wainscot.simulate.outcomes import Circumstances, seen_in_void
from wainscot.voids.finder import Finder

HOUSES, FIRST_SEED = 21, 120_000
BROKEN, BROKEN_SEED = 20, 125_000
MOST_LOOKS, PLAIN_LOOKS = 4, 3
"""Looks of a rule that knows when to stop, and of one that does not (judged: one more visit)."""
ALONE_DRAWS = 1024
RANKED_EVERY = 2
"""Of how many draws one is used where looks are ranked."""
BOOTSTRAP, BOOTSTRAP_SEED = 4000, 7
RULES = ("wainscot", "greedy", "nearest sign", "each void by itself", "prior only")
MEASURES = ("looks", "look_hours", "openings", "opening_hours", "soiled_missed",
            "avoidable_missed", "callback", "callback_hours", "hours", "hours_counted")  # fmt: skip


class Start(NamedTuple):
    """A house after its first visit, and what is really there, by the voids as drawn."""

    job: Job
    load: int
    reach: Ints
    cell: Ints
    rates: Rates
    """What looks show is drawn by these."""


def first(seed: int) -> Start:
    """Return a house of the first generator."""
    empty = small_house(seed)
    truth = spread(empty, seed)
    job = inspect(empty, truth, seed, visits=1)
    state = state_of(truth, scene(job, truth.species, truth.guess).graph)
    return Start(job, state.load, state.reach, state.cell, RATES)


def second(seed: int) -> Start:
    """Return a house of the second generator, which breaks the model."""
    rng = np.random.default_rng([seed, 70])
    inner, pair = broken_house(rng)
    lived = live(pair, inner, 1)
    at = spots(scene(lived.job).graph, lived.seen.graph)
    true = lived.state
    rates = off_rates(np.random.default_rng([inner, 5]))
    cell, reach = (np.where(at >= 0, one[np.maximum(at, 0)], 0) for one in (true.cell, true.reach))
    return Start(lived.job, true.load, reach, cell, rates)


class Known(NamedTuple):
    """What is known so far, and the draws that a rule decides by."""

    seen: Scene
    evidence: Evidence
    draws: Pooled


def by_engine(seen: Scene, evidence: Evidence, seed: int) -> Pooled:
    """Return the engine's draws."""
    problem, _ = make(seen.graph, evidence)
    found = kernel.run(problem, seed=seed, populations=POPULATIONS, chains=DRAWS, length=1,
                       threads=1)  # fmt: skip
    return pooled(found, species=seen.species)


def by_prior(seen: Scene, evidence: Evidence, seed: int) -> Pooled:
    """Return draws of the prior, no sign read."""
    states = _prior_states(seen, seed)
    return _pooled(np.stack([one.reach for one in states]), np.stack([one.cell for one in states]),
                   seen.species)  # fmt: skip


_last: dict[int, list[State]] = {}
"""The prior's draws of the house in hand, by its seed."""


def _prior_states(seen: Scene, seed: int) -> list[State]:
    if seed not in _last:
        _last.clear()
        rng = np.random.default_rng([seed, 71])
        _last[seed] = [draw(seen.graph, rng) for _ in range(ALONE_DRAWS)]
    return _last[seed]


def each_alone(seen: Scene, evidence: Evidence, seed: int) -> Pooled:
    """Return draws in which every void stands by its own signs and its prior, alone."""
    rng = np.random.default_rng([seed, 72])
    states = _prior_states(seen, seed)
    count = len(seen.graph.keys)
    prior = np.zeros((count, len(RATES.load), 3))
    for one in states:
        prior[np.arange(count), one.load, one.reach] += 1.0 / ALONE_DRAWS
    problem, _ = make(seen.graph, evidence)
    joint = (prior[..., None] * problem.detail[problem.row_of]).sum(axis=1).reshape(count, -1)
    edges = np.cumsum(joint / joint.sum(axis=1, keepdims=True), axis=1)
    place = (rng.random((ALONE_DRAWS, count))[..., None] >= edges[None]).sum(axis=2)
    place = np.minimum(place, joint.shape[1] - 1)
    return _pooled(place // 6, place % 6, seen.species)


def _pooled(reach: Ints, cell: Ints, species: str) -> Pooled:
    zeros = np.zeros(len(reach), dtype=np.int32)
    return Pooled(
        reach=reach.astype(np.uint8), soil=(cell // 2).astype(np.uint8),
        nest=(cell % 2).astype(np.uint8), weight=np.full(len(reach), 1.0 / len(reach)),
        species=(species,), species_of=zeros, choices=({},), guess_of=zeros,
        source=np.zeros((len(reach), 0), dtype=np.uint8),
    )  # fmt: skip


DRAWN_BY: dict[str, Callable[[Scene, Evidence, int], Pooled]] = {
    "each void by itself": each_alone, "prior only": by_prior,
}  # fmt: skip


class House:
    """One house under one rule.

    Parameters
    ----------
    start : Start
        The house after its first visit.
    seed : int
        Of what further looks show, and of the draws.
    rule : str
        One of ``RULES``.
    """

    def __init__(self, start: Start, seed: int, rule: str) -> None:
        self.start, self.job, self.seed, self.rule = start, start.job, seed, rule
        self.rng = np.random.default_rng([seed, 73, RULES.index(rule)])
        seen = scene(self.job)
        self.finder = Finder(seen.graph, seen.plan)
        offered = ways(seen.plan, seen.graph, site_of(self.job))
        self.left = {one.id: one for one in offered if self._can_be_logged(one)}
        self.choices: list[str] | None = None

    def _can_be_logged(self, look: Access) -> bool:
        places = [place_in(self.finder, reach.void) for reach in look.reaches]
        return not (look.answers or look.sources) and bool(places) and all(places)

    def know(self) -> Known:
        """Return what is known now."""
        seen = scene(self.job)
        evidence = signs.read(seen.job, seen.plan, seen.graph, seen.species)
        drawn = DRAWN_BY.get(self.rule, by_engine)(seen, evidence, self.seed)
        return Known(seen, evidence, drawn)

    def next(self, known: Known, looks: int) -> Access | None:
        """Return the next look; None where it is time to open."""
        if self.rule == "prior only" or not self.left:
            return None
        if self.rule in ("greedy", "nearest sign"):
            return self._plain(known) if looks < PLAIN_LOOKS else None
        checks = self._ranked(known)
        best = checks[0] if checks and looks < MOST_LOOKS else None
        return self.left[best.access] if best is not None and best.pays else None

    def _ranked(self, known: Known) -> tuple[Check, ...]:
        draws = known.draws.every(RANKED_EVERY) if self.rule == "wainscot" else known.draws
        offered = tuple(self.left.values())
        return rank(draws, known.seen.graph, known.evidence, offered, BOOK).checks

    def _plain(self, known: Known) -> Access | None:
        """Return the look at the likeliest void, or the one nearest to a find."""
        if self.choices is None:
            # Of ways to look at the same voids the best one only, as the other rules have it.
            self.choices = [check.access for check in self._ranked(known)]
        choices = [self.left[one] for one in self.choices if one in self.left]
        if not choices:
            return None
        if self.rule == "greedy":
            dirty = known.draws.weight @ soiled(known.draws, known.seen.graph.hidden)
            return max(choices, key=lambda one: (
                max(dirty[reach.void] * reach.share for reach in one.reaches), one.id))  # fmt: skip
        finds = self._finds(known)
        return min(choices, key=lambda one: (
            float(np.linalg.norm(finds - np.array(one.at), axis=1).min()) if len(finds) else 0.0,
            one.id))  # fmt: skip

    def _finds(self, known: Known) -> Floats:
        """Middle of every void in which something was found: [n, 3]. [m]"""
        graph = known.seen.graph
        voids = sorted({v for one in known.evidence.statements if one.positive
                        for v in one.found_in()})  # fmt: skip
        return np.array([
            (*graph.polygon[v].mean(axis=0), 0.5 * (graph.bottom[v] + graph.top[v])) for v in voids
        ]).reshape(-1, 3)  # fmt: skip

    def look(self, access: Access, n: int, species: str) -> None:
        """Look, and log what was seen."""
        del self.left[access.id]
        made: dict[str, Any] = {}
        for reach in access.reaches:
            v = reach.void
            how = Circumstances(access.method, species, reach.share, max(access.nights, 1))
            at = (self.start.load, int(self.start.reach[v]), int(self.start.cell[v]))
            place = place_in(self.finder, v)
            assert place is not None
            finds = seen_in_void(how, at, self.start.rates, self.rng)
            made[f"check_{n}_{v}"] = logged(place, how, finds)
        plain = {key: msgspec.json.decode(msgspec.json.encode(one)) for key, one in made.items()}
        self.job = msgspec.structs.replace(self.job, entities={**self.job.entities, **plain})

    def outcome(self, known: Known, looks: int, spent: float) -> dict[str, float]:
        """Open by the rule and return what it all came to."""
        seen, graph = known.seen, known.seen.graph
        offered = ways_to_open(seen.plan, graph, site_of(self.job))
        told = known_of(self.job, seen.plan, graph, known.evidence, offered)
        shut = graph.hidden.copy()
        shut[list(told.seen)] = False
        voids = np.flatnonzero(shut)
        loss = np.zeros(len(shut))
        loss[voids] = known.draws.weight @ loss_if_left(known.draws, voids, BOOK)
        problem = problem_of(offered, loss, BOOK)
        judge = Judge(problem, soiled(known.draws, shut), heavily(known.draws, shut),
                      known.draws.weight, Asked(), GAP)  # fmt: skip
        pairs = [(int(a), int(b)) for a, b in graph.edges if shut[a] and shut[b]]
        if self.rule == "greedy":
            point = judge.greedy(COUNTS)
        elif self.rule == "nearest sign":
            point = judge.near_signs([v for v in sorted(told.found_in) if shut[v]], pairs)
        else:
            point = judge.best("balanced", COUNTS)
        return self._paid(point, judge, shut, looks, spent)

    def _paid(
        self, point: Point, judge: Judge, shut: Bools, looks: int, spent: float
    ) -> dict[str, float]:
        cell, problem = self.start.cell, judge.problem
        place = {name: o for o, name in enumerate(problem.ids)}
        chosen = [place[one] for one in point.openings]
        missed = shut & (cell > 0) & (problem.reached(chosen) == 0)
        avoidable = missed & judge.reachable
        left = float(((1.0 - problem.best_share(chosen)) * CALLBACK[cell] * shut).sum())
        values = (looks, spent, len(chosen), point.cost, missed.sum(), avoidable.sum(),
                  (avoidable & (cell != LIGHT)).any(), left, spent + point.cost + left,
                  spent + point.cost + COUNTS * left)  # fmt: skip
        return dict(zip(MEASURES, map(float, values), strict=True))


def one_house(task: tuple[str, int]) -> dict[str, Any]:
    """Return what every rule comes to in one house.

    Parameters
    ----------
    task : (str, int)
        ``holds`` or ``broken``, and the seed.
    """
    start = {"holds": first, "broken": second}[task[0]](task[1])
    found: dict[str, Any] = {}
    for rule in RULES:
        house = House(start, task[1], rule)
        known, looks, spent = house.know(), 0, 0.0
        while (chosen := house.next(known, looks)) is not None:
            spent += cost_of(chosen, BOOK) / BOOK.hour.value
            house.look(chosen, looks, known.seen.species)
            looks += 1
            known = house.know()
        found[rule] = house.outcome(known, looks, spent)
    hidden = scene(start.job).graph.hidden
    found["soiled"] = float(((start.cell > 0) & hidden).sum())
    return found


def summary(houses: list[dict[str, Any]]) -> dict[str, Any]:
    """Return means and paired differences with bootstrap intervals over houses.

    Parameters
    ----------
    houses : list of dict
        From :func:`one_house`.
    """
    rng = np.random.default_rng(BOOTSTRAP_SEED)
    again = rng.integers(len(houses), size=(BOOTSTRAP, len(houses)))
    table = {rule: np.array([[one[rule][m] for m in MEASURES] for one in houses])
             for rule in RULES}  # fmt: skip
    rows: dict[str, Any] = {}
    for rule in RULES:
        above = table[rule] - table["wainscot"]
        rows[rule] = {
            name: {"mean": _interval(table[rule][:, k], again),
                   **({"above_wainscot": _interval(above[:, k], again)}
                      if rule != "wainscot" else {})}
            for k, name in enumerate(MEASURES)
        }  # fmt: skip
        rows[rule]["houses_cheaper_than_wainscot"] = int((above[:, -1] < -1e-9).sum())
    soil = np.array([one["soiled"] for one in houses])
    return {"houses": len(houses), "soiled_voids": _interval(soil, again), "rules": rows}


def _interval(values: Floats, again: Ints) -> list[float]:
    """Mean, and the 2.5 and 97.5 % points of the means of houses drawn with replacement."""
    means = values[again].mean(axis=1)
    low, high = np.quantile(means, [0.025, 0.975])
    return [round(float(one), 3) for one in (values.mean(), low, high)]


def run(houses: int, broken: int) -> dict[str, Any]:
    """Return both arms.

    Parameters
    ----------
    houses, broken : int
        Houses of the first and of the second generator.
    """
    arms = (("holds", FIRST_SEED, houses), ("broken", BROKEN_SEED, broken))
    tasks = [(arm, start + n) for n in range(max(houses, broken))
             for arm, start, count in arms if n < count]  # fmt: skip
    found = list(zip(tasks, shared_out("decisions", one_house, tasks), strict=True))
    holds, rest = (summary([one for (arm, _), one in found if arm == name])
                   for name in ("holds", "broken"))  # fmt: skip
    return {"model_holds": holds, "model_broken": rest, "first_seeds": [FIRST_SEED, BROKEN_SEED],
            "bootstrap": [BOOTSTRAP, BOOTSTRAP_SEED], "passes": passes(holds)}  # fmt: skip


def passes(found: dict[str, Any]) -> bool:
    """Whether every other rule surely costs more, callbacks counted as the balanced set does."""
    return all(found["rules"][rule]["hours_counted"]["above_wainscot"][1] > 0.0
               for rule in RULES[1:])  # fmt: skip

"""Which look next: the check that is worth most, against a random one and the nearest to a find.

Every house of the first generator is visited once, then looked at six more times.  Three rules
choose the next look from the same list; what it shows is drawn from the truth, logged as a crew
logs it (one inspection for each void that was looked into) and the house is diagnosed anew.

- *greedy*: the first line of the ranked checks.
- *nearest sign*: the look that lies nearest to a find, straight across.
- *random*: any of them.

After every look each shut void is opened where that is cheaper on what is known.  Counted are the
soiled voids among them, the clean ones, and the hours: opening, callbacks of what is left shut at
its true soiling, and the looks themselves.

Limits: default rates (no currency: hours); species and framing as drawn, so that looks which tell
the framing are left out, and so are those at ways in; no look is made twice.
"""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np

from study.houses import DRAWS, POPULATIONS, pooled, small_house
from study.openings import CALLBACK, mean
from wainscot import signs
from wainscot.access import Access, site_of, ways
from wainscot.arrays import Bools, Floats
from wainscot.book import DEFAULT as BOOK
from wainscot.checks import Pooled, rank
from wainscot.checks.stakes import cost_of, stakes
from wainscot.diagnosis import kernel
from wainscot.diagnosis.problem import make
from wainscot.job import Inspection, Place
from wainscot.signs import DEFAULT as RATES
from wainscot.signs import KINDS, Evidence
from wainscot.simulate import Scene, State, inspect, scene, spread, state_of
from wainscot.simulate.looking import Visitor, logged, place_in
from wainscot.simulate.outcomes import Circumstances, seen_in_void

LOOKS = 6
RULES = ("greedy", "nearest sign", "random")
MEASURES = ("soiled_found", "clean_opened", "hours")


class Known(msgspec.Struct, frozen=True):
    """What is known of a house after the looks so far."""

    evidence: Evidence
    draws: Pooled


class House:
    """One house under one rule.

    Parameters
    ----------
    seed : int
        Of house, animals, first visit and everything that the looks show.
    rule : str
        One of ``RULES``.
    """

    def __init__(self, seed: int, rule: str) -> None:
        empty = small_house(seed)
        truth = spread(empty, seed)
        self.job = inspect(empty, truth, seed, visits=1)
        self.seen: Scene = scene(self.job, truth.species, truth.guess)
        self.state: State = state_of(truth, self.seen.graph)
        self.rng = np.random.default_rng([seed, 50, RULES.index(rule)])
        self.visitor = Visitor(self.seen, self.state, RATES, self.rng)
        self.seed, self.rule = seed, rule
        graph = self.seen.graph
        offered = ways(self.seen.plan, graph, site_of(self.job))
        self.left = {one.id: one for one in offered if self._can_be_logged(one)}

    def _can_be_logged(self, look: Access) -> bool:
        places = [place_in(self.visitor.finder, reach.void) for reach in look.reaches]
        return not (look.answers or look.sources) and bool(places) and all(places)

    def know(self) -> Known:
        """Return the diagnosis of what was logged so far."""
        seen = scene(self.job, self.seen.species, self.seen.guess)
        evidence = signs.read(seen.job, seen.plan, seen.graph, seen.species)
        problem, _ = make(seen.graph, evidence)
        found = kernel.run(
            problem, seed=self.seed, populations=POPULATIONS, chains=DRAWS, length=1, threads=1
        )
        return Known(evidence, pooled(found, species=seen.species))

    def next(self, known: Known) -> Access | None:
        """Return the look that the rule chooses; None where none is left."""
        graph = self.seen.graph
        ranked = rank(known.draws, graph, known.evidence, tuple(self.left.values()), BOOK)
        if not ranked.checks:
            return None
        # The same list for every rule: of ways to look at the same voids the best one only.
        choices = [self.left[check.access] for check in ranked.checks]
        if self.rule == "greedy":
            return choices[0]
        if self.rule == "nearest sign":
            return min(choices, key=lambda one: (self._distance(one), one.id))
        return choices[int(self.rng.integers(len(choices)))]

    def _distance(self, look: Access) -> float:
        """Straight distance to the nearest find. [m]"""
        finds = self._finds()
        if not len(finds):
            return 0.0
        return float(np.linalg.norm(finds - np.array(look.at), axis=1).min())

    def _finds(self) -> Floats:
        """Middle of every void in which something was found: [n, 3]. [m]"""
        middles = []
        for one in self.job.entities.values():
            if not (isinstance(one, dict) and one.get("kind") == "inspection"):
                continue
            look = msgspec.convert(one, Inspection)
            if any(find.amount not in KINDS[find.kind].nothing for find in look.finds):
                middles += [self._middle(v) for v in self._voids_of(look.place)]
        return np.array(middles).reshape(-1, 3) if middles else np.zeros((0, 3))

    def _voids_of(self, place: Place | None) -> list[int]:
        graph = self.seen.graph
        if place is None:
            return []
        if place.of in graph.source_keys:
            return [int(graph.source_void[graph.source_keys.index(place.of)])]
        if place.radius is not None:
            return []
        return list(self.visitor.finder.find(place))

    def _middle(self, v: int) -> tuple[float, float, float]:
        graph = self.seen.graph
        point = self.visitor.finder.shapes[v].representative_point()
        return point.x, point.y, 0.5 * float(graph.bottom[v] + graph.top[v])

    def look(self, access: Access, n: int) -> None:
        """Look, and log what was seen."""
        del self.left[access.id]
        made: dict[str, Inspection] = {}
        for reach in access.reaches:
            look = Circumstances(access.method, self.seen.species, reach.share,
                                 max(access.nights, 1))  # fmt: skip
            v = reach.void
            at = (self.state.load, int(self.state.reach[v]), int(self.state.cell[v]))
            place = place_in(self.visitor.finder, v)
            assert place is not None
            finds = seen_in_void(look, at, RATES, self.rng)
            made[f"check_{n}_{v}"] = logged(place, look, finds)
        plain = {key: msgspec.json.decode(msgspec.json.encode(one)) for key, one in made.items()}
        self.job = msgspec.structs.replace(self.job, entities={**self.job.entities, **plain})

    def outcome(self, known: Known, spent: float) -> list[float]:
        """Return soiled voids found, clean ones opened and hours in all."""
        graph = self.seen.graph
        at = stakes(known.draws, graph, BOOK)
        opened: Bools = np.zeros(len(graph.keys), dtype=np.bool_)
        opened[at.hidden[at.better_opened]] = True
        soiled = self.state.soiled
        left = CALLBACK[self.state.cell][graph.hidden & ~opened].sum()
        return [
            float((opened & soiled).sum()), float((opened & ~soiled).sum()),
            float(left + opened.sum() * at.opening / BOOK.hour.value + spent),
        ]  # fmt: skip


def one_house(seed: int) -> dict[str, Any]:
    """Return the measures of each rule after 0, 1 ... looks in one house."""
    found: dict[str, Any] = {}
    start: Known | None = None
    for rule in RULES:
        house = House(seed, rule)
        start = start or house.know()
        known, spent = start, 0.0
        rows = [house.outcome(known, spent)]
        for n in range(LOOKS):
            chosen = house.next(known)
            if chosen is None:
                break
            spent += cost_of(chosen, BOOK) / BOOK.hour.value
            house.look(chosen, n)
            known = house.know()
            rows.append(house.outcome(known, spent))
        rows += [rows[-1]] * (LOOKS + 1 - len(rows))
        found[rule] = rows
    found["soiled"] = float((house.state.soiled & house.seen.graph.hidden).sum())
    return found


def summary(houses: list[dict[str, Any]]) -> dict[str, Any]:
    """Return means over houses with the half width of their 95 % intervals.

    Parameters
    ----------
    houses : list of dict
        From :func:`one_house`.
    """
    found: dict[str, Any] = {
        "houses": len(houses), "soiled_voids": mean(np.array([one["soiled"] for one in houses])),
    }  # fmt: skip
    tables = {rule: np.array([one[rule] for one in houses]) for rule in RULES}
    for rule, table in tables.items():
        found[rule] = {
            name: [mean(table[:, n, k]) for n in range(LOOKS + 1)]
            for k, name in enumerate(MEASURES)
        }
        if rule != "greedy":
            above = table[:, :, 2] - tables["greedy"][:, :, 2]
            found[rule]["hours_above_greedy"] = [mean(above[:, n]) for n in range(LOOKS + 1)]
            found[rule]["looks_to_match_greedy_after"] = {
                str(n): first_at_most(table[:, :, 2].mean(axis=0),
                                      float(tables["greedy"][:, n, 2].mean()))
                for n in (1, 2, 3)
            }  # fmt: skip
    return found


def first_at_most(curve: Floats, level: float) -> int | None:
    """Return how many looks bring a curve down to a level; None where they never do."""
    reached = np.flatnonzero(curve <= level)
    return int(reached[0]) if len(reached) else None


def passes(found: dict[str, Any]) -> bool:
    """Whether both other rules surely cost more hours than greedy after the last look."""
    last = [found[rule]["hours_above_greedy"][-1] for rule in RULES[1:]]
    return all(above > half for above, half in last)

"""Named sets of openings: the curve from nothing to everything, and what simpler rules would do.

Limits: "nearest signs" opens where something was found and next to it; people do better than that
when they think; "greedy" takes the best opening for its money, one after the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec
import numpy as np

from wainscot.arrays import Bools, Floats
from wainscot.errors import InputError
from wainscot.openings.judging_draws import Missed, missed
from wainscot.openings.problem import Problem
from wainscot.openings.solving import Solution, every, solve
from wainscot.sources import judged

WEIGHTS = (0.125, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0)
"""What a callback counts beside the cost of opening; the points of the curve."""
LEAST_WEIGHT = 1.0
"""Where every opening saves in callbacks what it costs, and nothing more is opened."""
WORTH_OPENING = judged(0.01, "1", "chance of soiling from which open it all lays a void open")
SURELY = 1e4
"""Weight under which cost hardly counts, where everything cannot be had for the money."""


class Point(msgspec.Struct, frozen=True):
    """One set of openings and what it comes to."""

    name: str
    """``least``, ``balanced``, ``open it all``; else how it was made."""
    weight: float | None
    """What a callback counted beside the cost; None where it was made otherwise. [1]"""
    openings: tuple[str, ...]
    cost: float
    """[currency]"""
    loss_left: float
    """Expected cost of callbacks that is left. [currency]"""
    missed: float
    """Chance that any soiled void is missed. [1]"""
    error: float
    """Monte Carlo error of that. [1]"""
    avoidable: float
    """Chance that any soiled void is missed that some opening would reach. [1]"""
    number: float
    """Expected number of soiled voids missed. [1]"""
    heavy: float
    """Chance that any heavily soiled void or any nest is missed. [1]"""
    heavy_avoidable: float
    """Chance that one is missed that some opening would reach. [1]"""
    voids: int
    """Voids laid open."""
    gap: float | None
    """How far from the best there is; None where nothing was minimised. [1]"""


class Asked(msgspec.Struct, frozen=True):
    """What the people on the job laid down."""

    must: tuple[int, ...] = ()
    """Voids that have to be reached."""
    forbidden: tuple[int, ...] = ()
    """Openings that may not be chosen."""
    given: tuple[int, ...] = ()
    """Openings that are in every set."""
    most: float = float("inf")
    """Greatest cost. [currency]"""


class Judge:
    """Makes points for one problem on one set of draws.

    Parameters
    ----------
    problem : Problem
        Openings, charges, voids.
    dirty : Bools
        [K, V] soiled voids by draw.
    heavy : Bools
        [K, V] those that are heavily soiled or hold a nest.
    weight : Floats
        [K] weights of the draws. [1]
    asked : Asked
        What was laid down.
    gap : float
        Gap at which to stop. [1]
    """

    def __init__(
        self, problem: Problem, dirty: Bools, heavy: Bools, weight: Floats, asked: Asked, gap: float
    ) -> None:
        self.problem, self.dirty, self.heavy, self.weight = problem, dirty, heavy, weight
        self.asked, self.gap = asked, gap
        self.chance = np.asarray(weight @ dirty)
        self.forbidden = np.zeros(len(problem.ids), dtype=bool)
        self.forbidden[list(asked.forbidden)] = True
        self.given = np.zeros(len(problem.ids), dtype=bool)
        self.given[list(asked.given)] = True
        allowed = np.flatnonzero(~self.forbidden)
        self.reachable = problem.reached([int(o) for o in allowed]) > 0

    def point(
        self, name: str, chosen: Sequence[int], weight: float | None, gap: float | None
    ) -> Point:
        """Return what these openings come to.

        Parameters
        ----------
        name : str
            Name of the set.
        chosen : sequence of int
            The openings.
        weight : float, optional
            What a callback counted beside the cost. [1]
        gap : float, optional
            How far from the best there is. [1]
        """
        reached = self.problem.reached(chosen) > 0
        found: Missed = missed(self.dirty, self.heavy, self.weight, reached, self.reachable)
        return Point(
            name=name,
            weight=weight,
            openings=tuple(self.problem.ids[o] for o in chosen),
            cost=self.problem.price(chosen),
            loss_left=self.problem.loss_left(chosen),
            missed=found.any,
            error=found.error,
            avoidable=found.avoidable,
            number=found.number,
            heavy=found.heavy,
            heavy_avoidable=found.heavy_avoidable,
            voids=int(reached.sum()),
            gap=gap,
        )

    def best(self, name: str, weight: float) -> Point:
        """Return the best openings where a callback counts ``weight`` times.

        Parameters
        ----------
        name : str
            Name of the set.
        weight : float
            What a callback counts beside the cost. [1]
        """
        found = self._solve(weight, self.asked.must)
        return self.point(name, found.chosen, weight, found.gap)

    def all_of_it(self) -> Point:
        """Return the cheapest openings that reach every void which may well be soiled.

        Where that cannot be had for the money, those that leave least.
        """
        wanted = self._reachable_of(every(self.problem, self.chance, WORTH_OPENING.value))
        both = tuple(sorted({*wanted, *self.asked.must}))
        try:
            found = self._solve(1e-6, both)
        except InputError:
            found = self._solve(SURELY, self.asked.must)
        return self.point("open it all", found.chosen, None, found.gap)

    def curve(self, balanced: float) -> tuple[Point, ...]:
        """Return nothing, the points of rising weight, and all of it.

        Parameters
        ----------
        balanced : float
            What a callback counts beside the cost in the balanced set. [1]
        """
        named = {LEAST_WEIGHT: "least", balanced: "balanced"}
        points = [
            self.best(named.get(weight, f"callback x {weight:g}"), weight)
            for weight in sorted({*WEIGHTS, *named})
        ]
        start = () if self.asked.must else (self.point("nothing", self.asked.given, 0.0, None),)
        return (*start, *points, self.all_of_it())

    def everything(self) -> Point:
        """Return the cheapest openings that reach every void that any opening reaches."""
        found = self._free(self._reachable_of(range(self.dirty.shape[1])))
        return self.point("open everything", found.chosen, None, found.gap)

    def near_signs(self, found_in: Iterable[int], neighbours: Sequence[tuple[int, int]]) -> Point:
        """Return the cheapest openings of the voids with a find and those next to them."""
        signs = set(found_in)
        near = signs | {b for a, b in neighbours if a in signs} | {
            a for a, b in neighbours if b in signs
        }  # fmt: skip
        found = self._free(self._reachable_of(sorted(near)))
        return self.point("nearest signs", found.chosen, None, found.gap)

    def greedy(self, weight: float) -> Point:
        """Return openings taken one by one, each the best for what it costs then.

        Parameters
        ----------
        weight : float
            What a callback counts beside the cost. [1]
        """
        chosen = list(self.asked.given)
        while True:
            gain = self._gain(chosen, weight)
            best = int(np.argmax(gain)) if len(gain) else 0
            if not len(gain) or gain[best] <= 1e-9:
                return self.point("greedy", sorted(chosen), weight, None)
            chosen.append(best)

    def _gain(self, chosen: Sequence[int], weight: float) -> Floats:
        """What each further opening saves beyond what it adds to the price: [m]."""
        one = self.problem
        shut = one.share - one.best_share(chosen)[one.pair_void]
        worth = weight * np.maximum(shut, 0.0) * one.loss[one.pair_void]
        count = len(one.ids)
        saved = np.bincount(one.pair_opening, worth, minlength=count)
        paid = np.zeros(len(one.charges), dtype=bool)
        paid[one.link_charge[np.isin(one.link_opening, list(chosen))]] = True
        still = np.where(paid, 0.0, one.charge)[one.link_charge]
        price = one.cost + np.bincount(one.link_opening, still, minlength=count)
        barred = self.forbidden.copy()
        barred[list(chosen)] = True
        return np.where(barred, -np.inf, saved - price)

    def _solve(self, weight: float, must: Sequence[int]) -> Solution:
        return solve(
            self.problem, weight, must=must, forbidden=self.forbidden, given=self.given,
            most=self.asked.most, gap=self.gap,
        )  # fmt: skip

    def _free(self, must: Sequence[int]) -> Solution:
        """Solve for these voids at any price."""
        return solve(
            self.problem, 1e-6, must=must, forbidden=self.forbidden, given=self.given, gap=self.gap
        )

    def _reachable_of(self, voids: Iterable[int]) -> tuple[int, ...]:
        allowed = [int(o) for o in np.flatnonzero(~self.forbidden)]
        share = self.problem.best_share(allowed)
        return tuple(v for v in voids if share[v] > 0)

"""From lines and draws to the price: for each draw the sum of what it needs.

Hours of a stage come out longer or shorter by a factor of its own, lognormal with mean one and the
book's spread; what is bought does not vary.

Limits: the spread is a judgement; the planned set is opened in every draw in which anything is
soiled, and in no other: that takes the checks to tell.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec
import numpy as np

from wainscot.arrays import Bools, Floats
from wainscot.book import Book, price_of
from wainscot.checks import Pooled
from wainscot.estimate.checking import checking
from wainscot.estimate.closing import sealing, watching
from wainscot.estimate.model import (
    STAGES,
    Driver,
    Estimate,
    Line,
    Scope,
    Stage,
    StageName,
    When,
)
from wainscot.estimate.opening import opening
from wainscot.openings.judging_draws import chance_of, soiled
from wainscot.voids.graph import Graph

BLOCKS = 16
DRIVERS = 5
LEAST_SHARE = 0.02
"""What explains less of the variance is not told. [1]"""
_STAGE_KIND: dict[StageName, When] = {
    "check first": When("always"),
    "open and clean": When("anything soiled"),
    "seal": When("came in"),
    "watch": When("came in"),
}


def estimate(scope: Scope, *, seed: int = 1) -> Estimate:
    """Return the price range of a job, its lines, stages and what drives it.

    Parameters
    ----------
    scope : Scope
        What the steps above answered.
    seed : int
        Of the spread of hours; the same seed gives the same numbers.
    """
    book, draws = scope.book, scope.draws
    reading = _Reading(draws, scope.graph)
    taken = [*checking(scope), *opening(scope), *sealing(scope), *watching(scope)]
    lines = tuple(
        msgspec.structs.replace(one, chance=chance_of(reading.of(one.when), draws.weight))
        for one in taken
    )
    rng = np.random.Generator(np.random.Philox(seed))
    factors = stage_factors(rng, book.business.spread.value, len(draws.weight))
    by_stage = {
        name: _cost([one for one in lines if one.stage == name], reading, factors)
        for name in STAGES
    }
    minimum = price_of(book, "business", "minimum").value
    with_tax = 1 + book.business.tax.value / 100
    total = np.maximum(np.sum(list(by_stage.values()), axis=0), minimum) * with_tax
    half, four = (quantile(total, draws.weight, q) for q in (0.5, 0.8))
    return Estimate(
        currency=book.currency,
        lines=lines,
        stages=tuple(_stage(name, lines, by_stage[name], reading) for name in STAGES),
        planned_cents=sum(one.cents for one in lines if not one.extra),
        mean=float(draws.weight @ total),
        half=half,
        four_in_five=four,
        least=float(total.min()),
        most=float(total.max()),
        error=_error(total, draws.weight),
        tax=book.business.tax.value,
        minimum=minimum,
        drivers=_drivers(total, lines, reading, factors, scope.graph),
        judged=_judged(lines, book),
        limits=_LIMITS if scope.seals is not None else (*_LIMITS, _NO_SEALS),
        draws=len(draws.weight),
        seed=seed,
    )


class _Reading:
    """Reads off the draws whether a line is needed."""

    def __init__(self, draws: Pooled, graph: Graph) -> None:
        self.draws = draws
        self.dirty = soiled(draws, graph.hidden)
        self.any_soiled = self.dirty.any(axis=1)
        self.came_in = (draws.source > 0).any(axis=1)
        self.in_use = ((draws.reach == 2) & graph.hidden).any(axis=1)

    def of(self, when: When) -> Bools:
        """[K] True in the draws where it is needed."""
        if when.kind == "soiled":
            return np.asarray(self.dirty[:, when.void])
        if when.kind == "nest":
            return np.asarray(self.draws.nest[:, when.void] > 0)
        flat = {
            "always": np.ones(len(self.draws.weight), dtype=bool),
            "anything soiled": self.any_soiled,
            "came in": self.came_in,
            "in use now": self.in_use,
        }
        return np.asarray(flat[when.kind])


def stage_factors(rng: np.random.Generator, spread: float, count: int) -> dict[StageName, Floats]:
    """Return by how much each stage's hours come out longer in each draw: [K], of mean one. [1]

    One factor a stage, for its activities come out longer together; lognormal, for hours are never
    below zero and are overrun oftener by much than saved by much (judgement).

    Parameters
    ----------
    rng : numpy.random.Generator
        Where the numbers come from.
    spread : float
        Standard deviation of a factor. [1]
    count : int
        K, how many draws.
    """
    sigma = math.sqrt(math.log1p(spread * spread))
    normal = rng.standard_normal((len(STAGES), count))
    return {name: np.exp(sigma * normal[n] - sigma * sigma / 2) for n, name in enumerate(STAGES)}


def _cost(lines: Sequence[Line], reading: _Reading, factors: dict[StageName, Floats]) -> Floats:
    """[K] what these lines come to in each draw. [currency]."""
    cost = np.zeros(len(reading.draws.weight))
    for one in lines:
        factor = factors[one.stage] if one.labour else 1.0
        cost += one.amount * reading.of(one.when) * factor
    return cost


def quantile(values: Floats, weight: Floats, share: float) -> float:
    """Return the least value that at least this share of the weight does not exceed. Any unit. [1]

    Parameters
    ----------
    values : Floats
        [K]
    weight : Floats
        [K] sums to one. [1]
    share : float
        [1]
    """
    order = np.argsort(values, kind="stable")
    reached = np.cumsum(weight[order])
    at = int(np.searchsorted(reached, share * reached[-1] * (1 - 1e-12)))
    return float(values[order[min(at, len(order) - 1)]])


def _error(total: Floats, weight: Floats) -> float:
    """Error of the median: over stretches of neighbouring draws, as everywhere."""
    parts = [
        part
        for part in np.array_split(np.arange(len(total)), BLOCKS)
        if len(part) and weight[part].sum() > 0
    ]
    halves = [quantile(total[part], weight[part], 0.5) for part in parts]
    return float(np.std(halves, ddof=1) / math.sqrt(len(halves))) if len(halves) > 1 else 0.0


def _stage(name: StageName, lines: Sequence[Line], cost: Floats, reading: _Reading) -> Stage:
    mine = [one for one in lines if one.stage == name and not one.extra]
    needed, weight = reading.of(_STAGE_KIND[name]), reading.draws.weight
    chance = chance_of(needed, weight) if mine else 0.0
    planned = sum(one.cents for one in mine)
    if chance <= 0:
        return Stage(name, 0.0, planned, 0.0, 0.0)
    share = weight[needed]
    half, four = (quantile(cost[needed], share, q) for q in (0.5, 0.8))
    return Stage(name, chance, planned, half, four)


def _drivers(
    total: Floats,
    lines: Sequence[Line],
    reading: _Reading,
    factors: dict[StageName, Floats],
    graph: Graph,
) -> tuple[Driver, ...]:
    """What the variance of the price hangs on: Var(E[price | x]) over Var(price), for each x."""
    weight = reading.draws.weight
    mean = float(weight @ total)
    variance = float(weight @ (total - mean) ** 2)
    if variance <= 0:
        return ()
    found = []
    for when in sorted({one.when for one in lines}, key=lambda one: (one.kind, one.void)):
        needed = reading.of(when)
        chance = float(weight @ needed)
        if not 1e-6 < chance < 1 - 1e-6:
            continue
        yes = float(weight @ (total * needed)) / chance
        no = float(weight @ (total * ~needed)) / (1 - chance)
        between = chance * (1 - chance) * (yes - no) ** 2
        found.append(Driver(_driver_words(when, graph), between / variance, yes - no))
    hours = sum(_explained(total, weight, factor) for factor in factors.values())
    found.append(
        Driver("hours that come out longer or shorter than thought", hours / variance, 0.0)
    )
    found.sort(key=lambda one: -one.share)
    return tuple(one for one in found if one.share >= LEAST_SHARE)[:DRIVERS]


def _explained(total: Floats, weight: Floats, factor: Floats) -> float:
    """Variance that a straight line in the factor explains. [currency2]."""
    at, off = factor - weight @ factor, total - weight @ total
    spread = float(weight @ at**2)
    return float(weight @ (at * off)) ** 2 / spread if spread > 0 else 0.0


def _driver_words(when: When, graph: Graph) -> str:
    if when.kind == "soiled":
        return f"whether {graph.words[when.void]} ({graph.labels[when.void]}) is soiled"
    if when.kind == "nest":
        return f"whether a nest lies in {graph.words[when.void]} ({graph.labels[when.void]})"
    return {
        "anything soiled": "whether anything is soiled at all",
        "came in": "whether animals ever came in from outside",
        "in use now": "whether animals are in now",
    }[when.kind]


def _judged(lines: Sequence[Line], book: Book) -> tuple[str, ...]:
    used = (*(one.rate for one in lines), book.business.spread)
    rates = {(rate.source, rate.unit): rate for rate in used}
    return tuple(
        sorted(
            f"{one.value:g} {one.unit.replace('currency', book.currency or 'h worth')}: "
            f"{one.source}"
            for one in rates.values()
            if one.is_judgement
        )
    )


_LIMITS = (
    "a price range for planning, no offer: the owner authorises each opening before it is made",
    "hold points that find lead, asbestos, gas or rot change the work; what that costs is not in",
    "not in it: what somebody licensed charges, permits, and what lies beyond a neighbour's wall",
)
_NO_SEALS = "there is no seal list yet, so closing the ways in is not in it"

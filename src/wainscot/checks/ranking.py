"""Rank every way to look by what it is worth less what it costs.

A look pays when what it may show changes what is opened or left, often enough and by enough.  When
none pays it is time to open, and the answer says which voids.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.access import Access, HoldPoint
from wainscot.access.reaching import is_reached
from wainscot.arrays import Floats
from wainscot.book import Book
from wainscot.checks.outcomes import NOTHING, Outcomes
from wainscot.checks.pooled import Pooled
from wainscot.checks.stakes import (
    Indices,
    cheapest,
    cost_of,
    loss_if_left,
    minutes_of,
    short_list,
    stakes,
)
from wainscot.checks.visit import Step, one_visit
from wainscot.checks.words import sentence
from wainscot.checks.worth import Worth, chances_moved, expected_value
from wainscot.signs import DEFAULT, Evidence, Rates
from wainscot.voids.graph import Graph

SURE = 2.0
"""Bootstrap errors that a worth must exceed to be told."""
LEAST_SHARE = 0.05
"""Share of a check's worth that a void must add to be named. [1]"""


class Check(msgspec.Struct, frozen=True):
    """One way to look, with what it is worth; in hours of work where the book has no currency."""

    access: str
    """Id of the access."""
    words: str
    """The whole line for people."""
    doing: str
    """What is done, without the rest of the line."""
    worth: float
    """Fall of the expected loss. [currency]"""
    error: float
    """Its bootstrap standard error. [currency]"""
    cost: float
    """Minutes and making good at the hourly rate. [currency]"""
    net: float
    """Worth less cost. [currency]"""
    minutes: float
    """On site, finding out first and making good included. [min]"""
    shows: float
    """Chance that it shows something. [1]"""
    moved: float | None
    """Expected sum of the changes of all voids' chances of being soiled; None where the book has
    money and worth stands instead. [1]"""
    settles: tuple[str, ...]
    """Labels of the voids whose opening hangs on it, those that matter most first."""
    first: tuple[str, ...]
    """What to find out before it may start; empty where it may."""
    holds: tuple[HoldPoint, ...]
    nights: int
    sure: bool
    """True where the worth exceeds two errors."""
    pays: bool
    """True where it is sure and worth more than it costs."""
    others: tuple[str, ...] = ()
    """Ids of other ways to look at the same voids that come out worse."""


class Result(msgspec.Struct, frozen=True):
    """Every check, the best first, or that it is time to open."""

    checks: tuple[Check, ...]
    visit: tuple[Step, ...]
    """For one visit: the best check, then each the best once those before it are done."""
    money: bool
    """False where the book names no currency: chances are told instead of worth."""
    currency: str
    time_to_open: bool
    open_now: tuple[str, ...]
    """In words, the voids to open, likeliest first: those of the band "open"; where no look pays,
    all that are better opened than left."""
    open_labels: tuple[str, ...]
    """Their labels, in the same order."""
    not_weighed: tuple[str, ...]
    """Ways to look that no table of signs speaks of."""
    judged: tuple[str, ...]
    draws: int


def rank(
    draws: Pooled,
    graph: Graph,
    evidence: Evidence,
    ways: tuple[Access, ...],
    book: Book,
    *,
    rates: Rates = DEFAULT,
    seed: int = 0,
) -> Result:
    """Return the checks, the one that is worth most beyond its cost first.

    Parameters
    ----------
    draws : Pooled
        Draws over the voids of ``graph``.
    graph : Graph
        The voids.
    evidence : Evidence
        What was looked at already.
    ways : tuple of Access
        Every way to look.
    book : Book
        The firm's rates.
    rates : Rates, optional
        The tables of the signs.
    seed : int
        Seed of the bootstrap.
    """
    looked = np.zeros(len(graph.keys)) if evidence.looked is None else evidence.looked
    outcomes = Outcomes(draws, looked, rates)
    known, dearer = cheapest([one for one in ways if outcomes.understood(one)], book)
    at = stakes(draws, graph, book)
    weighed = short_list(known, outcomes, at, book)
    chance = outcomes.of(weighed)
    loss = loss_if_left(draws, at.matter, book)
    worth = expected_value(
        loss,
        np.full(len(at.matter), at.opening),
        chance,
        draws.weight,
        seed=seed,
    )
    moved = None if book.currency else _moved(draws, at.hidden, chance)
    table = _Table(weighed, worth, moved, [graph.labels[v] for v in at.matter], book)
    checks = _best_of_each(table.checks(), weighed, dearer)
    order = np.argsort(-at.soiled, kind="stable")
    time_to_open = not any(check.pays for check in checks)
    worth_opening = at.better_opened if time_to_open else at.opened_unseen
    lies_open = {v for one in evidence.statements if is_reached(one.share) for v, _ in one.seen}
    likely = [int(at.hidden[n]) for n in order if worth_opening[n]]
    opened = [void for void in likely if void not in lies_open]
    return Result(
        checks=checks,
        visit=one_visit(checks, {one.id: one for one in weighed}, outcomes, loss, at.opening),
        money=bool(book.currency),
        currency=book.currency,
        time_to_open=time_to_open,
        open_now=tuple(graph.words[void] for void in opened),
        open_labels=tuple(graph.labels[void] for void in opened),
        not_weighed=tuple(sorted({one.act for one in ways} - {one.act for one in known})),
        judged=("times of every way to look", "rates of every sign", *_judged_rates(book)),
        draws=len(draws.weight),
    )


def _moved(draws: Pooled, hidden: Indices, chance: Floats) -> Floats:
    soiled = (draws.soil[:, hidden] > 0) | (draws.nest[:, hidden] > 0)
    return chances_moved(soiled.astype(np.float64), chance, draws.weight)


class _Table:
    """Turns the arrays of worth into one :class:`Check` a way."""

    def __init__(
        self, ways: list[Access], worth: Worth, moved: Floats | None, labels: list[str], book: Book
    ) -> None:
        self.ways = ways
        self.worth = worth
        self.moved = moved
        self.labels = labels
        self.book = book
        order = np.lexsort((-worth.gain, worth.pairs[:, 0]))
        self._pairs = worth.pairs[order]
        self._gain = worth.gain[order]

    def checks(self) -> list[Check]:
        """Return them in the order of ``ways``."""
        return [self._check(j, access) for j, access in enumerate(self.ways)]

    def _check(self, j: int, access: Access) -> Check:
        value, error = float(self.worth.value[j]), float(self.worth.error[j])
        cost = cost_of(access, self.book)
        check = Check(
            access=access.id,
            words="",
            doing=access.words,
            worth=value,
            error=error,
            cost=cost,
            net=value - cost,
            minutes=minutes_of(access),
            shows=1.0 - float(self.worth.chance[j, NOTHING]) if not access.answers else 1.0,
            moved=None if self.moved is None else float(self.moved[j]),
            settles=self._settles(j, value),
            first=tuple(hold.first for hold in access.first),
            holds=access.holds,
            nights=access.nights,
            sure=value > SURE * error,
            pays=value > SURE * error and value > cost,
        )
        return msgspec.structs.replace(check, words=sentence(check, access, self.book.currency))

    def _settles(self, j: int, value: float) -> tuple[str, ...]:
        start, stop = np.searchsorted(self._pairs[:, 0], [j, j + 1])
        matter = self._gain[start:stop] > LEAST_SHARE * value
        return tuple(self.labels[void] for void in self._pairs[start:stop, 1][matter])


def _best_of_each(
    checks: list[Check], ways: list[Access], dearer: dict[str, tuple[str, ...]]
) -> tuple[Check, ...]:
    """Keep the best way to look at the same voids, and name the others; best first."""
    groups: dict[tuple[object, ...], list[Check]] = {}
    for check, access in zip(checks, ways, strict=True):
        same = (
            tuple(sorted(reach.void for reach in access.reaches)),
            access.sources,
            access.answers,
            access.nights > 0,
        )
        groups.setdefault(same, []).append(check)
    best = []
    for group in groups.values():
        chosen, *rest = sorted(group, key=lambda one: (-one.net, one.access))
        worse = [each for one in rest for each in (one.access, *dearer[one.access])]
        others = (*dearer[chosen.access], *worse)
        best.append(msgspec.structs.replace(chosen, others=others))
    return tuple(sorted(best, key=lambda one: (not one.pays, -one.net, one.access)))


def _judged_rates(book: Book) -> tuple[str, ...]:
    rates = ("hour", "open_bay", "callback_light", "callback_heavy", "callback_nest")
    named = tuple(name.replace("_", " ") for name in rates if getattr(book, name).is_judgement)
    return (f"our rates: {', '.join(named)}",) if named else ()

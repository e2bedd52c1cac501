"""From draws and openings to the three sets that people choose between.

    choice = choose(pool(draws), graph, ways_to_open(plan, graph, site, book), book)
    choice.balanced.openings

A void is left or opened; leaving costs callbacks by its soiling, opening costs hours of which some
are shared.  Each set is then held against the draws: is any soiled void missed?

Limits: expected loss takes each void by itself, a callback that covers two voids is paid twice; the
balanced set is at a weight of our judgement.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec
import numpy as np

from wainscot.access import Access, Charge, HoldPoint, OwnCutTold, Site, holds_together
from wainscot.access.cutting import Verdict
from wainscot.access.reaching import is_reached
from wainscot.arrays import Bools, Floats
from wainscot.book import Book
from wainscot.checks import Pooled
from wainscot.checks.stakes import loss_if_left
from wainscot.errors import InputError, unknown_word
from wainscot.openings.judging_draws import chance_of, heavily, soiled
from wainscot.openings.plans import LEAST_WEIGHT, Asked, Judge, Point
from wainscot.openings.problem import MINUTES, Problem, problem_of
from wainscot.openings.signed import Signed, Status
from wainscot.openings.solving import GAP
from wainscot.voids.graph import Graph

WORTH_TELLING = 0.02
"""Chance of soiling from which a void that no opening reaches is told. [1]"""
TOLD = 12
"""Voids that no opening reaches are told by name up to so many."""


class Opening(msgspec.Struct, frozen=True):
    """One opening as it is told."""

    id: str
    act: str
    words: str
    room: str
    voids: tuple[str, ...]
    """Labels of the voids that it lays open."""
    partly: tuple[str, ...]
    """Labels of the voids that it reaches only in part."""
    chance: float
    """Chance that it finds soil. [1]"""
    cost: float
    """Its own hours at the hourly rate, shared charges left out. [currency]"""
    hours: float
    """To open and make good. [h]"""
    status: Status
    signed_by: str
    charges: tuple[Charge, ...]
    holds: tuple[HoldPoint, ...]
    limits: tuple[Verdict, ...]
    kept: tuple[str, ...]
    """Names of kept things that it touches."""
    given: str = ""
    """Id of the cut that somebody on the job drew; such a one is in every set.  Else empty."""


class Left(msgspec.Struct, frozen=True):
    """An opening that the owner declined, and the risk that it leaves."""

    id: str
    words: str
    said: str
    """Who declined it, when and why."""
    voids: tuple[str, ...]
    """Labels of the voids that nothing else in the balanced set lays open."""
    chance: float
    """Chance that any of them is soiled. [1]"""
    loss: float
    """Expected cost of callbacks. [currency]"""


class Choice(msgspec.Struct, frozen=True):
    """Three sets, the curve between them, what other rules would do, and what is left."""

    least: Point
    balanced: Point
    all_of_it: Point
    curve: tuple[Point, ...]
    compared: tuple[Point, ...]
    """Open everything, nearest signs, greedy."""
    openings: tuple[Opening, ...]
    """Every opening of the three sets, those that find most first."""
    declined: tuple[Left, ...]
    change_order: float | None
    """What the balanced set costs beyond what is authorised, once work has begun. [currency]"""
    known_clean: tuple[str, ...]
    """Labels of voids that were opened and seen clean."""
    open_already: tuple[str, ...]
    """Labels of voids that lie open and are soiled."""
    not_reached: tuple[str, ...]
    """Labels of voids worth opening that no opening reaches, likeliest first."""
    not_reached_chance: float
    """Chance that any of those is soiled. [1]"""
    soiled: float
    """Expected number of soiled voids that do not lie open yet. [1]"""
    kept: tuple[str, ...]
    """Names of kept things that were left alone."""
    candidates: int
    currency: str
    judged: tuple[str, ...]
    draws: int
    own_cuts: tuple[OwnCutTold, ...] = ()
    """What is said to each cut that somebody drew, those that are refused too."""


class Known(msgspec.Struct, frozen=True):
    """What the job knows beyond the draws."""

    found_in: frozenset[int] = frozenset()
    """Voids where something was found."""
    seen: dict[int, str] = {}
    """Voids that lie open, and what was seen in them: clean, light, heavy, nest."""
    signed: Signed = Signed()
    kept: dict[int, tuple[str, ...]] = {}
    """Kept things that each opening touches, by its index."""
    site: Site = Site()
    """Facts of the building: what adds up in a room hangs on its year."""
    own_cuts: tuple[OwnCutTold, ...] = ()
    """What is said to each cut that somebody drew."""


class Wanted(msgspec.Struct, frozen=True):
    """What the people on the job ask for."""

    must: tuple[str, ...] = ()
    """Labels or ids of voids that have to be opened."""
    without: tuple[str, ...] = ()
    """Ids of openings that are not wanted."""
    most: float = float("inf")
    """Greatest cost. [currency]"""
    weigh_kept: bool = False
    """True where what is kept may be opened at a price; else it is left alone."""


def choose(
    draws: Pooled,
    graph: Graph,
    ways: Sequence[Access],
    book: Book,
    *,
    known: Known | None = None,
    wanted: Wanted | None = None,
    gap: float = GAP,
) -> Choice:
    """Return the openings that are worth it, at three levels, and what each leaves.

    Parameters
    ----------
    draws : Pooled
        Draws over the voids of ``graph``.
    graph : Graph
        The voids.
    ways : sequence of Access
        Every opening, as :func:`wainscot.access.ways_to_open` gives them.
    book : Book
        The firm's rates.
    known : Known, optional
        Finds, voids that lie open, what was signed, what is kept.
    wanted : Wanted, optional
        What has to be opened, what not, and for how much.
    gap : float
        Gap at which to stop; 0 for the optimum. [1]

    Raises
    ------
    InputError
        If a void or an opening that is asked for is not there, or cannot be had.
    """
    return _Choosing(
        draws, graph, tuple(ways), book, known or Known(), wanted or Wanted(), gap
    ).go()


class _Choosing:
    def __init__(
        self,
        draws: Pooled,
        graph: Graph,
        ways: tuple[Access, ...],
        book: Book,
        known: Known,
        wanted: Wanted,
        gap: float,
    ) -> None:
        self.draws, self.graph, self.ways = draws, graph, ways
        self.book, self.known, self.wanted = book, known, wanted
        # Less than the least set weighs would make the balanced one the smaller of the two.
        self.balance = max(book.callback_counts.value, LEAST_WEIGHT)
        self.closed = graph.hidden.copy()
        self.closed[list(known.seen)] = False
        self.dirty = soiled(draws, self.closed)
        self.problem = self._problem()
        self.asked = self._asked()
        heavy = heavily(draws, self.closed)
        self.judge = Judge(self.problem, self.dirty, heavy, draws.weight, self.asked, gap)

    def go(self) -> Choice:
        curve = self.judge.curve(self.balance)
        balanced = next(point for point in curve if point.name == "balanced")
        least = next((point for point in curve if point.name == "least"), balanced)
        all_of_it = curve[-1]
        lost = self._not_reached()
        return Choice(
            least=least,
            balanced=balanced,
            all_of_it=all_of_it,
            curve=curve,
            compared=self._compared(),
            openings=self._told(balanced.openings, {*least.openings, *all_of_it.openings}),
            declined=self._declined(balanced),
            change_order=self._change_order(balanced),
            known_clean=self._labels(v for v, what in self.known.seen.items() if what == "clean"),
            open_already=self._labels(v for v, what in self.known.seen.items() if what != "clean"),
            not_reached=tuple(self.graph.labels[v] for v in lost[:TOLD]),
            not_reached_chance=self._any(lost),
            soiled=float(self.draws.weight @ self.dirty.sum(axis=1)),
            kept=self._left_alone(),
            candidates=len(self.ways),
            currency=self.book.currency,
            judged=_judged(self.book),
            draws=len(self.draws.weight),
            own_cuts=self.known.own_cuts,
        )

    def _problem(self) -> Problem:
        voids = np.flatnonzero(self.closed)
        loss = np.zeros(len(self.closed))
        loss[voids] = self.draws.weight @ loss_if_left(self.draws, voids, self.book)
        extra = np.zeros(len(self.ways))
        if self.wanted.weigh_kept:
            extra[list(self.known.kept)] = self.book.work.kept.value * self.book.hour.value
        return problem_of(self.ways, loss, self.book, paid=self._paid(), extra=extra)

    def _paid(self) -> frozenset[str]:
        """Charges of authorised openings whose voids all lie open by now."""
        return frozenset(
            charge.key
            for one in self.ways
            if one.id in self.known.signed.authorised
            and all(reach.void in self.known.seen for reach in one.reaches)
            for charge in one.charges
        )

    def _asked(self) -> Asked:
        ids = {one.id: o for o, one in enumerate(self.ways)}
        labels = dict(zip(self.graph.labels, range(len(self.closed)), strict=True))
        voids = self.graph.index() | labels
        faults = [
            unknown_word("unknown-opening", "openings.not", "opening", name, ids)
            for name in self.wanted.without
            if name not in ids
        ]
        faults += [
            unknown_word("unknown-void", "openings.must", "void", name, labels)
            for name in self.wanted.must
            if name not in voids
        ]
        if faults:
            raise InputError(faults)
        forbidden = {ids[name] for name in self.wanted.without}
        forbidden |= {ids[name] for name in self.known.signed.declined if name in ids}
        if not self.wanted.weigh_kept:
            forbidden |= set(self.known.kept)
        return Asked(
            must=tuple(voids[name] for name in self.wanted.must),
            forbidden=tuple(sorted(forbidden)),
            given=tuple(o for o, one in enumerate(self.ways) if one.given and o not in forbidden),
            most=self.wanted.most,
        )

    def _compared(self) -> tuple[Point, ...]:
        pairs = [(int(a), int(b)) for a, b in self.graph.edges]
        hidden = [v for v in sorted(self.known.found_in) if self.closed[v]]
        near = [(a, b) for a, b in pairs if self.closed[a] and self.closed[b]]
        return (
            self.judge.everything(),
            self.judge.near_signs(hidden, near),
            self.judge.greedy(self.balance),
        )

    def _told(self, balanced: tuple[str, ...], others: set[str]) -> tuple[Opening, ...]:
        """Every opening of the sets; what adds up in a room is counted over the balanced one."""
        adds_up = self._together(set(balanced))
        adds_up_in_all = self._together({*balanced, *others})
        told = [
            self._opening(o, adds_up if one.id in balanced else adds_up_in_all)
            for o, one in enumerate(self.ways)
            if one.id in balanced or one.id in others
        ]
        return tuple(sorted(told, key=lambda one: (-one.chance, one.id)))

    def _together(self, ids: set[str]) -> dict[str, tuple[HoldPoint, ...]]:
        return holds_together([one for one in self.ways if one.id in ids], self.known.site)

    def _opening(self, o: int, adds_up: dict[str, tuple[HoldPoint, ...]]) -> Opening:
        one = self.ways[o]
        voids = [r.void for r in one.reaches if is_reached(r.share)]
        begun = bool(self.known.seen)
        return Opening(
            id=one.id,
            act=one.act,
            words=one.words,
            room=one.room,
            voids=tuple(self.graph.labels[v] for v in voids),
            partly=tuple(self.graph.labels[r.void] for r in one.reaches if r.void not in voids),
            chance=self._any([r.void for r in one.reaches]),
            cost=float(self.problem.cost[o]),
            hours=(one.minutes + one.repair) / MINUTES,
            status=self.known.signed.status(one.id, begun),
            signed_by=self.known.signed.authorised.get(one.id, ""),
            charges=one.charges,
            holds=_held(one, adds_up.get(one.room, ())),
            limits=one.limits,
            kept=self.known.kept.get(o, ()),
            given=one.given,
        )

    def _any(self, voids: Sequence[int]) -> float:
        return chance_of(self.dirty[:, list(voids)].any(axis=1), self.draws.weight)

    def _declined(self, balanced: Point) -> tuple[Left, ...]:
        ids = {one.id: o for o, one in enumerate(self.ways)}
        taken = [ids[name] for name in balanced.openings]
        reached = self.problem.reached(taken) > 0
        out = []
        for name, said in sorted(self.known.signed.declined.items()):
            if name not in ids:
                out.append(Left(name, "no longer on the plan", said, (), 0.0, 0.0))
                continue
            one = self.ways[ids[name]]
            voids = [r.void for r in one.reaches if not reached[r.void]]
            loss = float(self.problem.loss[voids].sum())
            labels = tuple(self.graph.labels[v] for v in voids)
            out.append(Left(name, one.words, said, labels, self._any(voids), loss))
        return tuple(out)

    def _change_order(self, balanced: Point) -> float | None:
        signed = self.known.signed
        if not self.known.seen or not signed.authorised:
            return None
        ids = {one.id: o for o, one in enumerate(self.ways)}
        before = sorted(ids[name] for name in signed.authorised if name in ids)
        after = sorted({*before, *(ids[name] for name in balanced.openings)})
        return self.problem.price(after) - self.problem.price(before)

    def _not_reached(self) -> list[int]:
        """Voids that may well be soiled and that no opening which is allowed reaches."""
        chance: Floats = np.asarray(self.draws.weight @ self.dirty)
        lost: Bools = self.closed & ~self.judge.reachable & (chance >= WORTH_TELLING)
        return [int(v) for v in np.argsort(-chance, kind="stable") if lost[v]]

    def _labels(self, voids: Iterable[int]) -> tuple[str, ...]:
        return tuple(self.graph.labels[v] for v in sorted(voids))

    def _left_alone(self) -> tuple[str, ...]:
        if self.wanted.weigh_kept:
            return ()
        return tuple(sorted({name for names in self.known.kept.values() for name in names}))


def _held(one: Access, adds_up: tuple[HoldPoint, ...]) -> tuple[HoldPoint, ...]:
    """What holds for one opening, with what adds up in its room if it cuts anything there."""
    more = adds_up if one.disturbance in ("hole", "cut") else ()
    replaced = {hold.instead_of for hold in more}
    return (*(hold for hold in one.holds if hold.key not in replaced), *more)


def _judged(book: Book) -> tuple[str, ...]:
    rates = ("hour", "callback_light", "callback_heavy", "callback_nest", "callback_counts")
    named = [name.replace("_", " ") for name in rates if getattr(book, name).is_judgement]
    return (
        "reach of hand and wand",
        "hours of opening and making good but those with a source",
        *([f"our rates: {', '.join(named)}"] if named else []),
    )

"""The cheapest openings for what they save: a mixed-integer linear programme.

    minimise  sum cost x + sum charge y + weight * sum loss u
    u[v, k] >= 1 - sum of x over the openings that reach at least share k of void v
    y[c] >= x[o] where opening o needs charge c;  x is 0 or 1, y and u lie between 0 and 1

``u`` counts in steps of the shares that any opening reaches, so that of several openings the one
that reaches most counts.  Solved by the branch and bound of HiGHS through
``scipy.optimize.milp`` (Huangfu and Hall 2018, doi 10.1007/s12532-017-0130-5, from memory).

Limits: within the gap that is printed; when time runs out the gap is larger, and said.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec
import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from wainscot.access.reaching import REACHED
from wainscot.arrays import Bools, Floats
from wainscot.errors import Fault, InputError
from wainscot.openings.problem import Problem
from wainscot.openings.quiet import stdout_kept_clean

GAP = 0.005
SECONDS = 20.0


class Solution(msgspec.Struct, frozen=True):
    """One choice."""

    chosen: tuple[int, ...]
    """Indices of openings, rising."""
    cost: float
    """[currency]"""
    loss_left: float
    """Expected loss that is left, not weighted. [currency]"""
    objective: float
    """Cost plus weighted loss. [currency]"""
    gap: float
    """How far the objective may lie above the best there is, as a share of it. [1]"""


class _Rows:
    """Rows ``sum a x >= b`` in the making."""

    def __init__(self) -> None:
        self.row: list[int] = []
        self.column: list[int] = []
        self.value: list[float] = []
        self.least: list[float] = []

    def add(self, columns: Sequence[int], values: Sequence[float], least: float) -> None:
        self.row += [len(self.least)] * len(columns)
        self.column += columns
        self.value += values
        self.least.append(least)

    def constraint(self, width: int) -> LinearConstraint:
        shape = (len(self.least), width)
        matrix = coo_array((self.value, (self.row, self.column)), shape=shape).tocsr()
        return LinearConstraint(matrix, lb=np.array(self.least), ub=np.inf)


def solve(
    problem: Problem,
    weight: float = 1.0,
    *,
    must: Sequence[int] = (),
    forbidden: Bools | None = None,
    given: Bools | None = None,
    most: float = np.inf,
    gap: float = GAP,
    seconds: float = SECONDS,
) -> Solution:
    """Return the openings of least cost plus weighted expected loss.

    Parameters
    ----------
    problem : Problem
        Openings, charges, voids.
    weight : float
        What the expected loss counts beside the cost. [1]
    must : sequence of int
        Voids that have to be reached, as far as any opening that is allowed reaches them.
    forbidden : Bools, optional
        [m] openings that may not be chosen.
    given : Bools, optional
        [m] openings that are chosen whatever they save.
    most : float
        Greatest cost. [currency]
    gap : float
        Gap at which to stop; 0 for the optimum. [1]
    seconds : float
        Time after which the best so far is taken. [s]

    Raises
    ------
    InputError
        If a void of ``must`` is reached by no opening that is allowed, or not at this cost.
    """
    allowed = np.ones(len(problem.ids), dtype=bool) if forbidden is None else ~forbidden
    _refuse_unreachable(problem, must, allowed)
    folded = _folded(problem)
    laid_down = np.zeros(len(problem.ids), dtype=bool) if given is None else given
    allowed = allowed & (_useful(folded, weight, must) | laid_down)
    if not allowed.any():
        return _solution(problem, (), weight, weight * float(problem.loss.sum()))
    programme = _Programme(folded, weight, must, allowed, laid_down & allowed, most)
    found, bound = programme.solve(gap, seconds)
    if found is None:
        _refuse_cost(most)
    return _solution(problem, found or (), weight, bound)


class _Programme:
    """The linear programme of one question, solved in two stages and, if need be, as a whole.

    Given which charges are paid, the rest is nearly always whole by itself: bays lie in a row and
    openings take stretches of it.  So first only the charges have to be whole, which bounds the
    best there is; then, with these charges, the openings.
    """

    def __init__(
        self, problem: Problem, weight: float, must: Sequence[int], allowed: Bools,
        given: Bools, most: float,
    ) -> None:  # fmt: skip
        steps, least = _steps(problem, allowed)
        self.openings = len(problem.ids)
        self.at = _Layout(problem, len(steps))
        self.rows = _rows(problem, self.at, steps, must, allowed, most).constraint(self.at.width)
        held = weight * np.array([held for _, held in steps])
        self.cost = np.concatenate([problem.cost, problem.charge, held])
        self.fixed = weight * least
        self.upper = np.ones(self.at.width)
        self.upper[: self.openings][~allowed] = 0.0
        self.lower = np.zeros(self.at.width)
        self.lower[: self.openings][given] = 1.0

    def solve(self, gap: float, seconds: float) -> tuple[tuple[int, ...] | None, float]:
        """Return the openings, None where there are none, and a bound on the objective."""
        charges = slice(self.openings, self.at.steps)
        first = self._run(charges, self.upper, gap / 2, seconds)
        if first.x is None:
            return None, 0.0
        bound = _bound(first)
        paid = self.upper.copy()
        paid[charges] = np.round(first.x[charges])
        second = self._run(slice(0, self.openings), paid, gap / 4, seconds)
        best = second
        if second.x is None or second.fun - bound > gap * (second.fun + self.fixed) + _HAIR:
            whole = self._run(slice(0, self.at.steps), self.upper, gap, seconds)
            if whole.x is not None:
                bound = max(bound, _bound(whole))
                if second.x is None or whole.fun < second.fun:
                    best = whole
        if best.x is None:
            return None, 0.0
        chosen = np.flatnonzero(best.x[: self.openings] > 0.5)
        return tuple(int(o) for o in chosen), bound + self.fixed

    def _run(self, whole: slice, upper: Floats, gap: float, seconds: float) -> Any:
        integral = np.zeros(self.at.width)
        integral[whole] = 1
        options = {"mip_rel_gap": gap, "time_limit": seconds, "presolve": True}
        with stdout_kept_clean():
            return milp(
                self.cost, constraints=self.rows, bounds=Bounds(self.lower, upper),
                integrality=integral, options=options,
            )  # fmt: skip


_HAIR = 1e-7


def _bound(found: Any) -> float:
    """Return what no choice falls below; without whole numbers that is the value itself."""
    return float(found.fun if found.mip_dual_bound is None else found.mip_dual_bound)


def _folded(problem: Problem) -> Problem:
    """Return the same with charges of one opening in its own cost, and alike charges in one."""
    openings: dict[int, list[int]] = {}
    for o, c in zip(problem.link_opening.tolist(), problem.link_charge.tolist(), strict=True):
        openings.setdefault(c, []).append(o)
    cost, joined = problem.cost.copy(), dict[tuple[int, ...], float]()
    for c, sharing in openings.items():
        if len(sharing) == 1:
            cost[sharing[0]] += problem.charge[c]
        else:
            key = tuple(sorted(sharing))
            joined[key] = joined.get(key, 0.0) + float(problem.charge[c])
    keys = sorted(joined)
    return msgspec.structs.replace(
        problem,
        cost=cost,
        charges=tuple(str(c) for c in range(len(keys))),
        charge=np.array([joined[key] for key in keys], dtype=np.float64),
        link_opening=np.array([o for key in keys for o in key], dtype=np.int32),
        link_charge=np.array([c for c, key in enumerate(keys) for _ in key], dtype=np.int32),
    )


def _useful(problem: Problem, weight: float, must: Sequence[int]) -> Bools:
    """Return the openings that may be in a best set.

    One that saves no more than its own cost, even if it alone reached all that it reaches, only
    makes a set dearer; unless it reaches what must be reached.
    """
    worth = weight * problem.loss[problem.pair_void] * problem.share
    saved = np.bincount(problem.pair_opening, worth, minlength=len(problem.ids))
    wanted = np.isin(problem.pair_void, list(must))
    needed = np.bincount(problem.pair_opening[wanted], minlength=len(problem.ids)) > 0
    return np.asarray((saved > problem.cost) | needed)


class _Layout:
    """Where the variables stand: openings, then charges, then steps."""

    def __init__(self, problem: Problem, steps: int) -> None:
        self.charges = len(problem.ids)
        self.steps = self.charges + len(problem.charges)
        self.width = self.steps + steps


Step = tuple[tuple[int, ...], float]
"""The openings that take the step, and the loss that it holds."""


def _steps(problem: Problem, allowed: Bools) -> tuple[list[Step], float]:
    """Return the steps of every void, alike ones joined, and the loss that nothing takes."""
    by_void: dict[int, dict[float, list[int]]] = {}
    for o, v, share in zip(
        problem.pair_opening.tolist(), problem.pair_void.tolist(), problem.share.tolist(),
        strict=True,
    ):  # fmt: skip
        if allowed[o] and problem.loss[v] > 0:
            by_void.setdefault(v, {}).setdefault(share, []).append(o)
    joined: dict[tuple[int, ...], float] = {}
    least = float(problem.loss.sum())
    for v, shares in by_void.items():
        openings: set[int] = set()
        levels = sorted(shares, reverse=True)
        for share, below in zip(levels, [*levels[1:], 0.0], strict=True):
            openings |= set(shares[share])
            key = tuple(sorted(openings))
            held = float(problem.loss[v]) * (share - below)
            joined[key] = joined.get(key, 0.0) + held
            least -= held
    return sorted(joined.items()), max(least, 0.0)


def _rows(
    problem: Problem, at: _Layout, steps: list[Step], must: Sequence[int], allowed: Bools,
    most: float,
) -> _Rows:  # fmt: skip
    rows = _Rows()
    for o, c in zip(problem.link_opening.tolist(), problem.link_charge.tolist(), strict=True):
        if allowed[o]:
            rows.add([at.charges + c, o], [1.0, -1.0], 0.0)
    for k, (openings, _) in enumerate(steps):
        rows.add([at.steps + k, *openings], [1.0] * (1 + len(openings)), 1.0)
    for openings in {_reaching(problem, void, allowed) for void in must}:
        rows.add(list(openings), [1.0] * len(openings), 1.0)
    if np.isfinite(most):
        columns = list(range(at.steps))
        prices = np.concatenate([problem.cost, problem.charge])
        rows.add(columns, [-float(price) for price in prices], -most)
    return rows


def _reaching(problem: Problem, void: int, allowed: Bools) -> tuple[int, ...]:
    """Return the openings that reach a void, or reach it as far as any does."""
    mine = (problem.pair_void == void) & allowed[problem.pair_opening]
    if not mine.any():
        return ()
    enough = min(REACHED.value, float(problem.share[mine].max())) - 1e-9
    return tuple(sorted(set(problem.pair_opening[mine & (problem.share >= enough)].tolist())))


def _refuse_unreachable(problem: Problem, must: Sequence[int], allowed: Bools) -> None:
    lost = [void for void in must if not _reaching(problem, void, allowed)]
    if lost:
        what = f"no opening that is allowed reaches {len(lost)} of the voids that must be opened"
        cure = "allow another opening, or take the void off the list"
        raise InputError([Fault("unreachable-void", "openings.must", what, cure)])


def _refuse_cost(most: float) -> None:
    if np.isfinite(most):
        what = f"what must be opened costs more than {most:g}"
        raise InputError([Fault("too-dear", "openings.max_cost", what, "raise it or ask for less")])
    what = "no choice was found in the time that was given"
    raise InputError([Fault("no-time", "openings", what, "give more time, or ask for fewer voids")])


def _solution(problem: Problem, chosen: tuple[int, ...], weight: float, bound: float) -> Solution:
    cost, left = problem.price(chosen), problem.loss_left(chosen)
    objective = cost + weight * left
    gap = (objective - bound) / objective if objective > 0 else 0.0
    return Solution(chosen, cost, left, objective, max(gap, 0.0))


def every(problem: Problem, chance: Floats, least: float) -> tuple[int, ...]:
    """Return the voids that some opening reaches and whose chance is at least ``least``.

    Parameters
    ----------
    problem : Problem
        The choice.
    chance : Floats
        [n] chance that a void is soiled. [1]
    least : float
        Chance from which it counts. [1]
    """
    return tuple(int(v) for v in np.flatnonzero((chance >= least) & (problem.most_share() > 0)))

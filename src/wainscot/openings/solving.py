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

import msgspec
import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from wainscot.access.reaching import REACHED
from wainscot.arrays import Bools, Floats
from wainscot.errors import Fault, InputError
from wainscot.openings.problem import Problem

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
    steps, least = _steps(problem, allowed)
    if not allowed.any():
        return _solution(problem, (), weight, 0.0)
    layout = _Layout(problem, len(steps))
    rows = _rows(problem, layout, steps, must, allowed, most)
    cost = np.concatenate([problem.cost, problem.charge, weight * np.array([s[1] for s in steps])])
    upper = np.ones(layout.width)
    upper[: layout.charges][~allowed] = 0.0
    integral = np.zeros(layout.width)
    integral[: layout.charges] = 1
    options = {"mip_rel_gap": gap, "time_limit": seconds, "presolve": True}
    found = milp(
        cost, constraints=rows.constraint(layout.width), bounds=Bounds(0.0, upper),
        integrality=integral, options=options,
    )  # fmt: skip
    if found.x is None:
        _refuse_cost(most)
    chosen = tuple(int(o) for o in np.flatnonzero(found.x[: layout.charges] > 0.5))
    return _solution(problem, chosen, weight, float(found.mip_dual_bound) + weight * least)


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
    what = f"what must be opened costs more than {most:g}"
    raise InputError([Fault("too-dear", "openings.max_cost", what, "raise it or ask for less")])


def _solution(problem: Problem, chosen: tuple[int, ...], weight: float, bound: float) -> Solution:
    cost, left = problem.price(chosen), problem.loss_left(chosen)
    objective = cost + weight * left
    gap = (objective - bound) / objective if objective > 0 and chosen else 0.0
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

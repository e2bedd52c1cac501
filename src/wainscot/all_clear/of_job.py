"""From a job, its plan and the draws of its diagnosis to the all-clear statement.

    found = all_clear(job, plan, graph, draws, sealing)
    found.statement.outcome

The starting point is the diagnosis' chance that nothing is in use; nights of traps (kind ``trap``)
after the last seal count here and nowhere else.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.all_clear.absence import OTHERS
from wainscot.all_clear.outcome import (
    AT_TRAP,
    SPREAD,
    Case,
    Statement,
    course_by_void,
    helps_most,
    judge,
    nightly_return,
)
from wainscot.all_clear.watching import Interval, Watching, last_seal, watching
from wainscot.arrays import Bools, Floats
from wainscot.diagnosis.draws import Draws
from wainscot.job import Job, Trap, typed
from wainscot.plan.model import Plan
from wainscot.sealing import Sealing
from wainscot.voids.graph import Graph
from wainscot.voids.points import point_of


class AllClear(msgspec.Struct, frozen=True):
    """The statement, what the traps did, and where one more would help."""

    statement: Statement
    watching: Watching
    since: str
    """When the last seal that counts was made; empty where there is none."""
    by_night: tuple[float, ...]
    """Chance that they are gone after each empty night, at the low end of the range. [1]"""
    next_trap: str
    """Words of the void where one more trap helps most; empty where there is none."""
    not_placed: tuple[str, ...]
    """Traps whose place has no point: they count as catches, never as cover."""


def all_clear(
    job: Job, plan: Plan, graph: Graph, draws: Draws, sealing: Sealing, *, shared: bool = False
) -> AllClear:
    """Return the all-clear of a job.

    Parameters
    ----------
    job : Job
        A job without faults.
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids, in the order of the draws.
    draws : Draws
        The draws of its diagnosis.
    sealing : Sealing
        Its seal lists.
    shared : bool
        A shop or a shared building: quiet and monitored is then the best end.
    """
    species = draws.cases[0][0]
    seen = watching(job, species)
    caught = [one.start + one.nights for one in seen.intervals if one.catches]
    last = max(caught, default=None)
    empty = [one for one in seen.intervals
             if not one.catches and (last is None or one.start >= last - 0.5)]  # fmt: skip
    points, lost = _points(job, plan)
    where = _where(draws, graph.hidden)
    gains = _gains(graph, SPREAD[species].value)
    nightly = _nightly(empty, points, graph, species)
    ended = max((one.start + one.nights for one in seen.intervals), default=0.0)
    built = [one for one in sealing.lists if one.grade == "as built"]
    mine = next((one for one in built if one.species == species), built[-1])
    before = float(draws.weight @ ~draws.now.any(axis=1))
    case = Case(
        min(before, OTHERS.value) if caught else before, where, nightly,
        sum(one.why in ("declined", "cannot be reached") for one in mine.remaining),
        sum(one.why in ("belongs to a neighbour", "not drawn yet") for one in mine.remaining),
        None if last is None else ended - last, not mine.seals and bool(last_seal(job)), shared,
    )  # fmt: skip
    return AllClear(
        judge(case), seen, last_seal(job), _by_night(case), _next_trap(case, gains, graph), lost
    )


def _where(draws: Draws, hidden: Bools) -> Floats:
    """Return where one would live: as the draws have it, with a small share for every void."""
    share = draws.weight @ draws.now + 0.01
    share = np.where(hidden, share, 0.0)
    total = share.sum()
    return np.asarray(share / total if total > 0 else np.full(len(share), 1.0 / len(share)))


def centres(graph: Graph) -> Floats:
    """Return the middle of each void: [V, 3]. [m]

    Parameters
    ----------
    graph : Graph
        The voids.
    """
    flat = np.array([outline.mean(axis=0) for outline in graph.polygon])
    return np.column_stack([flat, (graph.bottom + graph.top) / 2])


def _points(job: Job, plan: Plan) -> tuple[dict[str, Floats], tuple[str, ...]]:
    points, lost = {}, []
    for key, one in typed(job).items():
        if isinstance(one, Trap):
            point = point_of(plan, one.place)
            if point is None:
                lost.append(key)
            else:
                points[key] = np.array(point)
    return points, tuple(lost)


def catching(graph: Graph, at: Floats, spread: float) -> Floats:
    """Return the chance a night that a trap catches what lives in each void, middle of the range.

    Parameters
    ----------
    graph : Graph
        The voids.
    at : Floats
        [3] where the trap stands. [m]
    spread : float
        Scale of the half-normal fall-off. [m]

    Returns
    -------
    Floats
        [V] [1]
    """
    away = ((centres(graph) - at) ** 2).sum(axis=1)
    return np.asarray(AT_TRAP[1].value * np.exp(-away / (2.0 * spread**2)))


def _gains(graph: Graph, spread: float) -> Floats:
    return np.array([catching(graph, at, spread) for at in centres(graph)])


def _nightly(
    empty: list[Interval], points: dict[str, Floats], graph: Graph, species: str
) -> Floats:
    """Return the chance of each night to catch what lives in each void: [N, V]."""
    placed = [one for one in empty if one.trap in points and one.nights > 0]
    count = len(graph.keys)
    if not placed:
        return np.zeros((0, count))
    first = int(np.floor(min(one.start for one in placed)))
    last = int(np.ceil(max(one.start + one.nights for one in placed)))
    missed = np.ones((last - first, count))
    used = np.zeros(last - first, dtype=np.bool_)
    for one in placed:
        reach = catching(graph, points[one.trap], SPREAD[species].value)
        worth = one.shy / one.nights
        for night in range(first, last):
            part = min(one.start + one.nights, night + 1.0) - max(one.start, float(night))
            if part > 1e-9:
                missed[night - first] *= (1.0 - reach) ** (worth * part)
                used[night - first] = True
    return np.asarray((1.0 - missed)[used])


def _by_night(case: Case) -> tuple[float, ...]:
    low = case.nightly * (AT_TRAP[0].value / AT_TRAP[1].value)
    found = course_by_void(case.absent_before, case.where, low, nightly_return(case))
    return tuple(float(one) for one in found)


def _next_trap(case: Case, gains: Floats, graph: Graph) -> str:
    if not graph.hidden.any():
        return ""
    now = case.nightly[-1] if len(case.nightly) else np.zeros(len(case.where))
    candidates = np.flatnonzero(graph.hidden)
    return graph.words[int(candidates[helps_most(case.where, now, gains[candidates])])]

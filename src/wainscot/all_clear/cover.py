"""Where traps stand, where one would live, and how surely each night would have caught it there.

    cover = cover_of(job, plan, graph, draws)
    cover.nightly             # N nights, V voids

Limits: distances are straight, through floors and walls; a trap without a point covers nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec
import numpy as np

from wainscot.all_clear.outcome import SPREAD
from wainscot.all_clear.rate import Rate, rate_of
from wainscot.all_clear.watching import (
    Interval,
    Watching,
    all_intervals,
    last_seal,
    rounds,
    standing,
    watching,
)
from wainscot.arrays import Bools, Floats
from wainscot.diagnosis.draws import Draws
from wainscot.job import Job, Trap, day_of, typed
from wainscot.plan.model import Plan
from wainscot.voids.graph import Graph
from wainscot.voids.points import point_of


class Cover(msgspec.Struct, frozen=True):
    """What the traps covered since the last seal: N nights, V voids."""

    species: str
    seen: Watching
    before: float
    """The diagnosis' chance that nothing is in use. [1]"""
    where: Floats
    """[V] where one would live, sums to 1. [1]"""
    spread: float
    """Scale of the fall-off from trap to home. [m]"""
    rate: Rate
    nightly: Floats
    """[N, V] chance that any trap catches what lives there, at the middle of the range. [1]"""
    caught: tuple[int, ...]
    """[N] how many the look caught that ended the night."""
    tonight: Floats | None
    """[V] the same as ``nightly`` of the traps that stand now; None where none was looked at. [1]
    """
    first_day: int
    """Of the nights, in days since the first of January 1970, UTC."""
    last_look: float
    """[day]"""
    last_catch: float
    """Zero where nothing was caught. [day]"""
    lost: tuple[str, ...]
    """Ids of traps whose place has no point."""


def cover_of(job: Job, plan: Plan, graph: Graph, draws: Draws) -> Cover:
    """Return what the traps of a job covered since the last seal.

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
    """
    # Of two animals at once, the one that takes longer to show: its traps and its spread.
    species = draws.cases[0][0].partition(" and ")[0]
    # A second kind beside the likeliest was perhaps never weighed, and a house in which it was
    # caught yesterday is not free: every catch counts.
    spread, seen = SPREAD[species].value, watching(job, species, any_kind=True)
    points, lost = _points(job, plan)
    middles = centres(graph)
    kernel = {key: falling(middles, at, spread) for key, at in points.items()}
    where = _where(draws, graph.hidden)
    ends = [one.start + one.nights for one in seen.intervals]
    catches = [one.start + one.nights for one in seen.intervals if one.catches]
    last_catch = max(catches, default=0.0)
    known = _before_the_nights(job, species, last_catch)
    rate = rate_of(rounds(known), _reach(known, kernel, where))
    chances = {key: rate.middle * each for key, each in kernel.items()}
    first = int(np.floor(min((one.start for one in seen.intervals), default=0.0)))
    # A trap that caught on the day it was set has seen no night: the catch counts in the first.
    count = max(int(np.ceil(max(ends, default=0.0))) - first, 1 if catches else 0)
    return Cover(
        species, seen, float(draws.weight @ ~draws.now.any(axis=1)), where, spread, rate,
        _nightly(seen.intervals, chances, first, (count, len(where))),
        _caught(seen.intervals, first, count),
        _together(chances, standing(job), len(where)) if ends else None,
        first, max(ends, default=0.0), last_catch, lost,
    )  # fmt: skip


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


def _where(draws: Draws, hidden: Bools) -> Floats:
    """Return where one would live: as the draws have it, with a small share for every void."""
    share = np.where(hidden, draws.weight @ draws.now + 0.01, 0.0)
    total = share.sum()
    return np.asarray(share / total if total > 0 else np.full(len(share), 1.0 / len(share)))


def _before_the_nights(job: Job, species: str, last_catch: float) -> list[Interval]:
    """Return what traps did up to the last seal, or the last catch after it.

    The empty nights that follow are what the chance is made of: were they to say how surely a
    trap catches as well, they would count twice.
    """
    end = last_catch or (day_of(last_seal(job)) if last_seal(job) else 0.0)
    return [one for one in all_intervals(job, species) if one.start + one.nights <= end + 1e-9]


def _reach(every: Iterable[Interval], kernel: Mapping[str, Floats], where: Floats) -> float:
    """Return what is left of a trap's chance at the distance of the homes, on average."""
    shares = [(float(where @ kernel[one.trap]), one.ready) for one in every if one.trap in kernel]
    whole = sum(ready for _, ready in shares)
    return sum(share * ready for share, ready in shares) / whole if whole > 0 else 0.0


def _nightly(
    intervals: Sequence[Interval], chances: Mapping[str, Floats], first: int,
    shape: tuple[int, int],
) -> Floats:  # fmt: skip
    missed = np.ones(shape)
    for one in intervals:
        if one.catches or one.trap not in chances or one.nights <= 0:
            continue
        worth = one.shy / one.nights
        for n in range(len(missed)):
            part = min(one.start + one.nights, first + n + 1.0) - max(one.start, float(first + n))
            if part > 1e-9:
                missed[n] *= (1.0 - chances[one.trap]) ** (worth * part)
    return np.asarray(1.0 - missed)


def _caught(intervals: Sequence[Interval], first: int, count: int) -> tuple[int, ...]:
    found = [0] * count
    for one in intervals:
        if one.catches:
            night = int(np.ceil(one.start + one.nights)) - 1 - first
            found[max(night, 0)] += one.catches
    return tuple(found)


def _together(chances: Mapping[str, Floats], traps: Iterable[str], voids: int) -> Floats:
    missed = np.ones(voids)
    for trap in traps:
        if trap in chances:
            missed *= 1.0 - chances[trap]
    return np.asarray(1.0 - missed)


def centres(graph: Graph) -> Floats:
    """Return the middle of each void: [V, 3]. [m]

    Parameters
    ----------
    graph : Graph
        The voids.
    """
    flat = np.array([outline.mean(axis=0) for outline in graph.polygon])
    return np.column_stack([flat, (graph.bottom + graph.top) / 2])


def falling(middles: Floats, at: Floats, spread: float) -> Floats:
    """Return the share of a trap's chance that is left at the middle of each void (half-normal).

    Parameters
    ----------
    middles : Floats
        [V, 3] middle of each void. [m]
    at : Floats
        [3] where the trap stands. [m]
    spread : float
        Scale of the fall-off. [m]

    Returns
    -------
    Floats
        [V] [1]
    """
    away = ((middles - at) ** 2).sum(axis=1)
    return np.asarray(np.exp(-away / (2.0 * spread**2)))

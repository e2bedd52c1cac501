"""Closing terms that name a void or a way that is not there.

    for fault in terms_faults(job): print(fault)

A walk goes on without such terms and says so (only the closing waits); ``wainscot validate``
refuses the job, because whoever wrote them meant a place.  Before a room is drawn nothing is told.

Limits: the framing guess of greatest weight is taken, as for the lists.
"""

from __future__ import annotations

from collections.abc import Iterable

from wainscot import voids as voids_step
from wainscot.errors import Fault, unknown_word
from wainscot.job import ClosingTerms, Job, typed
from wainscot.plan.model import Plan
from wainscot.sealing.listing import no_void
from wainscot.sealing.ways import ways_in
from wainscot.voids.graph import Graph

_STRICTEST = "house mouse"
"""The animal for which most ways are open, so that its ways hold those of all others."""


def terms_faults(job: Job) -> tuple[Fault, ...]:
    """Return what is wrong with the closing terms of a job; empty where there are none.

    Parameters
    ----------
    job : Job
        A job that is sound otherwise.
    """
    agreed = {key: one for key, one in typed(job).items() if isinstance(one, ClosingTerms)}
    if not any(one.given_up or one.twice or one.cannot_wait or one.declined
               for one in agreed.values()):  # fmt: skip
        return ()
    plan = voids_step.framed(job).plan
    if not plan.rooms:
        return ()
    graph = voids_step.build(plan, _STRICTEST)
    found: list[Fault] = []
    for key, one in agreed.items():
        for field in ("given_up", "twice", "cannot_wait"):
            for n, name in enumerate(getattr(one, field)):
                if fault := no_void(graph, f"entities.{key}.{field}[{n}]", name):
                    found.append(fault)
        found += _no_ways(plan, graph, f"entities.{key}.declined", one.declined)
    return tuple(found)


def _no_ways(plan: Plan, graph: Graph, path: str, declined: Iterable[str]) -> list[Fault]:
    known = _ways(plan, graph)
    return [
        unknown_word("unknown-way", f"{path}[{n}]", "way", name, known)
        for n, name in enumerate(declined)
        if name not in known
    ]


def _ways(plan: Plan, graph: Graph) -> set[str]:
    """Keys of every way that a list could hold, and of entry points too small to be on one."""
    found = ways_in(plan, graph, offered=())
    lines = {f"edge/{one.pool}" for one in found if one.sort == "edge to go along"}
    return {one.key for one in found} | lines | {one.id for one in plan.entries}

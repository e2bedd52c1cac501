"""Seal lists of a job: mouse and rat side by side, at both grades.

    sealing = seal_lists(job, given_up=("crawl space",), places=("kitchen",))

Limits: the framing guess of greatest weight is taken; a seal list under another guess may differ.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from wainscot import signs as signs_step
from wainscot import voids as voids_step
from wainscot.access import site_of
from wainscot.book import DEFAULT, Book
from wainscot.job import EntryPoint, Job, SealMade, typed
from wainscot.plan.model import Plan
from wainscot.sealing.listing import seal_list, second_layer, voids_named
from wainscot.sealing.model import Sealing
from wainscot.sealing.rules import ALWAYS
from wainscot.sealing.ways import BOTH, RATES, Signed, ways_in, ways_to_reach
from wainscot.signs import Evidence
from wainscot.sources import Cited
from wainscot.voids.graph import Graph

SIDE_BY_SIDE = ("house mouse", "norway rat")
"""The roof rat passes what the Norway rat passes, so that one of the two stands for both."""


def signed_of(job: Job, declined: Iterable[str] = ()) -> Signed:
    """Return the seals of a job that count: signed by name, with a photo.

    Parameters
    ----------
    job : Job
        A job without faults.
    declined : iterable of str
        Keys of ways that the owner does not want closed.
    """
    made = {
        one.closes for one in typed(job).values()
        if isinstance(one, SealMade) and one.by.strip() and one.photo.strip()
    }  # fmt: skip
    return Signed(frozenset(made), frozenset(declined))


def seal_lists(
    job: Job,
    *,
    given_up: Iterable[str] = (),
    places: Iterable[str] = (),
    declined: Iterable[str] = (),
    book: Book = DEFAULT,
    guess: str = "",
) -> Sealing:
    """Return the seal lists of a job.

    Parameters
    ----------
    job : Job
        A job without faults, with at least a room drawn.
    given_up : iterable of str
        Voids left to the animals, by id, label or kind: ``crawl space``.
    places : iterable of str
        Voids that a second layer is wanted round.
    declined : iterable of str
        Keys of ways that the owner does not want closed.
    book : Book, optional
        The firm's rates.
    guess : str
        Id of a framing guess; the one of greatest weight if empty.

    Raises
    ------
    InputError
        If a name means no void.
    """
    framed, site = voids_step.framed(job, guess), site_of(job)
    signed, lists, second = signed_of(job, declined), [], []
    wanted, chosen = tuple(given_up), tuple(places)
    # The voids, and so the ways to reach them, are the same for every animal.
    graph = voids_step.build(framed.plan, SIDE_BY_SIDE[-1])
    offered = ways_to_reach(framed.plan, graph, site=site, book=book)
    for name in SIDE_BY_SIDE:
        graph = voids_step.build(framed.plan, name)
        lost = voids_named(graph, wanted)
        ways = ways_in(framed.plan, graph, site=site, book=book, signed=signed, offered=offered)
        for grade in BOTH:
            lists.append(seal_list(graph, ways, grade, lost))
            if chosen:
                kept = voids_named(graph, chosen)
                second.append(second_layer(graph, ways, grade, lost, kept))
    evidence = signs_step.read(framed.job, framed.plan, graph, SIDE_BY_SIDE[-1])
    lost_words = [graph.words[v] for v in np.flatnonzero(voids_named(graph, wanted))]
    return Sealing(
        tuple(lists), tuple(second), tuple(lost_words),
        _limits(job, framed.plan, graph, evidence), ALWAYS, tuple(map(_told, RATES)),
    )  # fmt: skip


def _told(rate: Cited) -> str:
    return f"{rate.value:g} {rate.unit}: {rate.source}"


def _limits(job: Job, plan: Plan, graph: Graph, evidence: Evidence) -> tuple[str, ...]:
    found = []
    beyond = {pool.partition(",")[0] for pool in graph.source_pool}
    if "neighbour" in beyond:
        found.append("what lies beyond the neighbour's side is theirs: a way there can be opened "
                     "again without our knowing")  # fmt: skip
    if "not drawn yet" in beyond:
        found.append("parts of the building are not drawn yet: nothing is said of them")
    looked = evidence.looked
    unseen = graph.hidden if looked is None else graph.hidden & (looked <= 0)
    if unseen.any():
        found.append(f"nobody has looked into {int(unseen.sum())} of {int(graph.hidden.sum())} "
                     "hidden voids")  # fmt: skip
    for key, one in typed(job).items():
        if isinstance(one, EntryPoint) and _told_sealed(plan, key):
            found.append(f"{one.name} is said to be sealed; it counts once somebody has signed "
                         "for it with a photo")  # fmt: skip
    return tuple(found)


def _told_sealed(plan: Plan, key: str) -> bool:
    return any(entry.id == key and entry.sealed for entry in plan.entries)

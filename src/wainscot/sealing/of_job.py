"""Seal lists of a job: mouse and rat side by side, at both grades.

    sealing = seal_lists(job, Terms(given_up=("crawl space",), twice=("kitchen",)))

Limits: the framing guess of greatest weight is taken; a seal list under another guess may differ.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec
import numpy as np

from wainscot import signs as signs_step
from wainscot import voids as voids_step
from wainscot.access import site_of
from wainscot.book import DEFAULT, Book
from wainscot.job import ClosingTerms, EntryPoint, Job, SealMade, typed
from wainscot.plan.model import Plan
from wainscot.sealing.isolation import isolation
from wainscot.sealing.listing import seal_list, second_layer, voids_named
from wainscot.sealing.model import Isolation, Sealing, SealList, Step, Terms, Today, Way
from wainscot.sealing.order import order_of
from wainscot.sealing.rules import ALWAYS
from wainscot.sealing.ways import BOTH, RATES, Signed, ways_in, ways_to_reach
from wainscot.signs import Evidence
from wainscot.sources import Cited
from wainscot.voids.graph import Graph

SIDE_BY_SIDE = ("house mouse", "norway rat")
"""The roof rat passes what the Norway rat passes, so that one of the two stands for both."""
NO_TERMS, NOT_KNOWN = Terms(), Today()


def terms_of(job: Job, more: Terms = NO_TERMS) -> Terms:
    """Return what a job's closing terms say, all of them together, and more.

    Parameters
    ----------
    job : Job
        A job without faults.
    more : Terms, optional
        What is asked beside them.
    """
    agreed = [one for one in typed(job).values() if isinstance(one, ClosingTerms)]
    said = Terms(
        tuple(name for one in agreed for name in one.given_up),
        tuple(name for one in agreed for name in one.twice),
        tuple(name for one in agreed for name in one.cannot_wait),
        (),
        tuple(key for one in agreed for key in one.declined),
        any(one.shared for one in agreed),
        tuple(f"{one.warranty}{_until(one.warranty_until)}" for one in agreed if one.warranty),
    )
    return Terms(
        said.given_up + more.given_up, said.twice + more.twice,
        said.cannot_wait + more.cannot_wait, said.nests + more.nests,
        said.declined + more.declined, said.shared or more.shared, said.warranty + more.warranty,
    )  # fmt: skip


def _until(day: str) -> str:
    return f" (until {day})" if day else ""


def signed_of(job: Job, declined: Iterable[str] = ()) -> Signed:
    """Return the seals of a job that count: signed by name, with a photo.

    Parameters
    ----------
    job : Job
        A job without faults.
    declined : iterable of str
        Keys of ways that the owner does not want closed.
    """
    made = {one.closes for one in typed(job).values() if isinstance(one, SealMade) and one.counts}
    return Signed(frozenset(made), frozenset(declined))


def seal_lists(
    job: Job, more: Terms = NO_TERMS, *, book: Book = DEFAULT, guess: str = "",
    today: Today = NOT_KNOWN,
) -> Sealing:  # fmt: skip
    """Return the seal lists of a job, their order, and what parts a nest from what cannot wait.

    Parameters
    ----------
    job : Job
        A job without faults, with at least a room drawn; its closing terms count.
    more : Terms, optional
        What is asked beside them.
    book : Book, optional
        The firm's rates.
    guess : str
        Id of a framing guess; the one of greatest weight if empty.
    today : Today, optional
        What is thought of the animals, for the order.

    Raises
    ------
    InputError
        If a name means no void.
    """
    terms = terms_of(job, more)
    framed, site = voids_step.framed(job, guess), site_of(job)
    signed = signed_of(job, terms.declined)
    # The voids, and so the ways to reach them, are the same for every animal.
    graph = voids_step.build(framed.plan, SIDE_BY_SIDE[-1])
    offered = ways_to_reach(framed.plan, graph, site=site, book=book)
    lost = voids_named(graph, terms.given_up, "given up")
    twice = voids_named(graph, terms.twice, "to close twice")
    lists, second, open_ways = [], [], {}
    for name in SIDE_BY_SIDE:
        graph = voids_step.build(framed.plan, name)
        ways = ways_in(framed.plan, graph, site=site, book=book, signed=signed, offered=offered)
        open_ways[name] = ways
        for grade in BOTH:
            lists.append(seal_list(graph, ways, grade, lost))
            if twice.any():
                second.append(second_layer(graph, ways, grade, lost, twice))
    animal = today.species if today.species in SIDE_BY_SIDE else _alike(today.species)
    parted = _parted(graph, open_ways[animal], terms)
    evidence = signs_step.read(framed.job, framed.plan, graph, SIDE_BY_SIDE[-1])
    found = Sealing(
        tuple(lists), tuple(second), tuple(graph.words[v] for v in np.flatnonzero(lost)),
        _limits(job, framed.plan, graph, evidence), ALWAYS, tuple(map(_told, RATES)),
        isolation=parted,
    )  # fmt: skip
    return ordered(found, today)


def ordered(found: Sealing, today: Today) -> Sealing:
    """Return the same lists in the order that fits another day.

    Parameters
    ----------
    found : Sealing
        The lists.
    today : Today
        What is thought of the animals.
    """
    animal = today.species if today.species in SIDE_BY_SIDE else _alike(today.species)
    mine = next(one for one in found.lists if one.species == animal)
    return msgspec.structs.replace(found, order=_order(mine, today, found.isolation))


def _alike(species: str) -> str:
    """The one of the two lists that holds for an animal; the stricter where nobody knows it."""
    return "norway rat" if species == "roof rat" else "house mouse"


def _parted(graph: Graph, ways: Sequence[Way], terms: Terms) -> Isolation | None:
    if not terms.cannot_wait:
        return None
    places = voids_named(graph, terms.cannot_wait, "what cannot wait")
    return isolation(graph, ways, voids_named(graph, terms.nests, "a nest"), places)


def _order(mine: SealList, today: Today, parted: Isolation | None) -> tuple[Step, ...]:
    now = parted.seals if parted and parted.way_out else ()
    return order_of(
        mine, used=today.used, in_use=today.in_use, trap_confirmed_quiet=today.quiet,
        cannot_wait=frozenset(one.key for one in now),
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

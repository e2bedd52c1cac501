"""From a job and the draws of its diagnosis to the openings, in one call.

Plan, graph and signs are those of the likeliest case: the one whose voids the draws stand under.
"""

from __future__ import annotations

from wainscot import signs as signs_step
from wainscot import voids as voids_step
from wainscot.access import Access, own_cuts, site_of, ways_to_open
from wainscot.access.reaching import is_reached
from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.checks import answers_of, pool
from wainscot.diagnosis.draws import Draws
from wainscot.job import Job
from wainscot.openings.choosing import Choice, Known, Wanted, choose
from wainscot.openings.kept import touching
from wainscot.openings.signed import signed
from wainscot.openings.solving import GAP
from wainscot.plan.model import Plan
from wainscot.signs import DEFAULT, Evidence, Rates
from wainscot.voids.graph import Graph


def plan_openings(
    job: Job,
    draws: Draws,
    *,
    book: Book = DEFAULT_BOOK,
    wanted: Wanted | None = None,
    released: frozenset[str] = frozenset(),
    rates: Rates = DEFAULT,
    gap: float = GAP,
) -> Choice:
    """Return the openings of a job, at three levels.

    Parameters
    ----------
    job : Job
        The job that was diagnosed.
    draws : Draws
        The draws of its diagnosis.
    book : Book, optional
        The firm's rates.
    wanted : Wanted, optional
        What has to be opened, what not, and for how much.
    released : frozenset of str, optional
        Keys of hold points that a named person has released.
    rates : Rates, optional
        The tables of the signs.
    gap : float
        Gap at which to stop. [1]

    Raises
    ------
    InputError
        If what is asked for is not there or cannot be had.
    """
    species, guess = draws.cases[0]
    framed = voids_step.framed(job, guess)
    drawn = framed.plan
    graph = voids_step.build(drawn, species)
    evidence = signs_step.read(framed.job, drawn, graph, species, rates=rates)
    ways = ways_to_open(drawn, graph, site_of(job, released), book)
    known = known_of(job, drawn, graph, evidence, ways)
    pooled = pool(draws, answers_of(job))
    return choose(pooled, graph, ways, book, known=known, wanted=wanted, gap=gap)


def known_of(
    job: Job, plan: Plan, graph: Graph, evidence: Evidence, ways: tuple[Access, ...]
) -> Known:
    """Return what a job knows beyond its draws: finds, opened voids, signatures, kept things.

    Parameters
    ----------
    job : Job
        The job.
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids.
    evidence : Evidence
        What the inspections say.
    ways : tuple of Access
        Every opening.
    """
    seen: dict[int, str] = {}
    for one in evidence.statements:
        # Where only part of a void was seen, the rest is still to be laid open.
        if is_reached(one.share):
            seen |= {v: what for v, what in one.seen if graph.hidden[v]}
    return Known(
        found_in=frozenset(v for one in evidence.statements for v in one.found_in()),
        seen=seen,
        signed=signed(job),
        kept=touching(ways, plan, graph),
        site=site_of(job),
        own_cuts=own_cuts(plan, graph, site_of(job)),
    )

"""From a job and the draws of its diagnosis to the ranked checks, in one call.

Plan, graph and signs are those of the likeliest case: the one whose voids the draws stand under.
"""

from __future__ import annotations

from wainscot import signs as signs_step
from wainscot import voids as voids_step
from wainscot.access import questions_of, site_of, ways
from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.checks.pooled import answers_of, pool
from wainscot.checks.ranking import Result, rank
from wainscot.diagnosis.draws import Draws
from wainscot.job import Job
from wainscot.signs import DEFAULT, Rates


def next_checks(
    job: Job,
    draws: Draws,
    *,
    book: Book = DEFAULT_BOOK,
    released: frozenset[str] = frozenset(),
    rates: Rates = DEFAULT,
    seed: int = 0,
) -> Result:
    """Return the checks of a job, the one that is worth most beyond its cost first.

    Parameters
    ----------
    job : Job
        The job that was diagnosed.
    draws : Draws
        The draws of its diagnosis.
    book : Book, optional
        The firm's rates.
    released : frozenset of str, optional
        Keys of hold points that a named person has released.
    rates : Rates, optional
        The tables of the signs.
    seed : int
        Seed of the bootstrap.
    """
    species, guess = draws.cases[0]
    framed = voids_step.framed(job, guess)
    graph = voids_step.build(framed.plan, species)
    evidence = signs_step.read(framed.job, framed.plan, graph, species, rates=rates)
    offered = ways(framed.plan, graph, site_of(job, released), questions_of(job))
    pooled = pool(draws, answers_of(job))
    return rank(pooled, graph, evidence, offered, book, rates=rates, seed=seed)

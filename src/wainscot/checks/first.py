"""The first check by name, again and again under other rates: for the sensitivity of a diagnosis.

    sensitivity(job, seed=1, next_check=first_check(job))

Plan, graph and ways to look are made once; only draws and rates change.

Limits: the graph is that of the likeliest case as judged.
"""

from __future__ import annotations

from collections.abc import Callable

from wainscot import signs as signs_step
from wainscot import voids as voids_step
from wainscot.access import Access, questions_of, site_of, ways
from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.checks.pooled import answers_of, pool
from wainscot.checks.ranking import rank
from wainscot.diagnosis.draws import Draws
from wainscot.job import Job
from wainscot.signs import Evidence, Rates
from wainscot.voids.graph import Graph

OPEN = "none pays: time to open"


def first_check(
    job: Job, *, book: Book = DEFAULT_BOOK, released: frozenset[str] = frozenset(), seed: int = 0
) -> Callable[[Draws, Rates], str]:
    """Return a function that names the first check, or says that it is time to open.

    Parameters
    ----------
    job : Job
        The job that was diagnosed.
    book : Book, optional
        The firm's rates.
    released : frozenset of str, optional
        Keys of hold points that a named person has released.
    seed : int
        Seed of the bootstrap.
    """
    known: dict[tuple[str, str], tuple[Graph, Evidence, tuple[Access, ...]]] = {}

    def prepared(species: str, guess: str) -> tuple[Graph, Evidence, tuple[Access, ...]]:
        framed = voids_step.framed(job, guess)
        graph = voids_step.build(framed.plan, species)
        evidence = signs_step.read(framed.job, framed.plan, graph, species)
        return graph, evidence, ways(framed.plan, graph, site_of(job, released), questions_of(job))

    def named(draws: Draws, rates: Rates) -> str:
        case = draws.cases[0]
        if case not in known:
            known[case] = prepared(*case)
        graph, evidence, offered = known[case]
        result = rank(
            pool(draws, answers_of(job)), graph, evidence, offered, book, rates=rates, seed=seed
        )
        if result.time_to_open or not result.checks:
            return OPEN
        return next(each.words for each in offered if each.id == result.checks[0].access)

    return named

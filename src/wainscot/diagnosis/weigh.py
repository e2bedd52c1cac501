"""Graph and evidence to the answer: where animals are or were, how they came in, how sure we are.

    diagnosis, draws = diagnose(job, seed=1)

Cases are built (``cases``), drawn from (``sampling``), turned into chances (``posterior``) and into
an answer (``answering``).  The result depends on the job and the seed, not on the number of threads
nor on the order of anything in the file.

Limits: see the modules of the parts; the whole is only as good as the judged rates it names.
"""

from __future__ import annotations

import msgspec

from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.diagnosis.answer import Diagnosis
from wainscot.diagnosis.answering import Frame, answer, is_settled, nothing_drawn, unsettled
from wainscot.diagnosis.cases import Case, cases
from wainscot.diagnosis.cautions import cautions
from wainscot.diagnosis.draws import Draws
from wainscot.diagnosis.posterior import Chances, Sample, void_chances, weights_settled
from wainscot.diagnosis.sampling import Effort, Progress, sample_cases, worth_drawing
from wainscot.job import Job
from wainscot.signs import DEFAULT, Rates

MORE = 4
"""Times the draws of a second try, where the first is not settled."""


def diagnose(
    job: Job,
    *,
    seed: int,
    populations: int = 8,
    draws: int = 4096,
    threads: int | None = None,
    progress: Progress | None = None,
    book: Book = DEFAULT_BOOK,
    rates: Rates = DEFAULT,
    why: bool = False,
) -> tuple[Diagnosis, Draws]:
    """Return what we think about a job, and the draws behind it.

    Parameters
    ----------
    job : Job
        A job without faults.
    seed : int
        Seed of all random numbers.
    populations : int
        Independent populations for each case.
    draws : int
        Draws in all populations of one case together.
    threads : int, optional
        Populations worked on at once; changes nothing but the time.
    progress : callable, optional
        Called now and then with the share of the work that is done. [1]
    book : Book, optional
        The firm's rates, for the bands.
    rates : Rates, optional
        The rates of the signs.
    why : bool, optional
        Whether the reasons of every void are worked out too, into ``Draws.why``.

    Raises
    ------
    KernelError
        If the numeric core is missing or refuses the problem.
    """
    found = cases(job, rates=rates)
    graph = found[0].graph
    largest = float(graph.volume[graph.hidden].max(initial=0.0))
    return weigh_cases(
        found,
        effort=Effort(seed, populations, draws, threads),
        progress=progress,
        book=book,
        judged=rates.judged,
        cautions=cautions(job, largest),
        why=why,
    )


def _more_wanted(samples: tuple[Sample, ...], chances: dict[str, Chances], effort: Effort) -> bool:
    """Whether to draw again: for any void in doubt, in a large house only if the whole is.

    Among twenty thousand voids a few are off by chance; they are marked, as they would be after a
    second try.
    """
    if len(samples[0].case.graph.keys) > effort.in_turns_above:
        return not is_settled(samples, chances)
    return bool(unsettled(chances).any()) or not weights_settled(samples)


def weigh_cases(
    found: tuple[Case, ...],
    *,
    effort: Effort,
    progress: Progress | None = None,
    book: Book = DEFAULT_BOOK,
    judged: tuple[str, ...] = (),
    cautions: tuple[str, ...] = (),
    why: bool = False,
) -> tuple[Diagnosis, Draws]:
    """Return the answer for cases that are already built.

    Parameters
    ----------
    found : tuple of Case
        The cases; their order changes nothing.
    effort : Effort
        How much to draw.
    progress : callable, optional
        Called with the share of the work that is done. [1]
    book : Book, optional
        The firm's rates.
    judged, cautions : tuple of str
        What to print with the answer.
    why : bool
        Whether the reasons of every void are worked out too.
    """
    found = tuple(sorted(found, key=lambda case: (-case.prior, case.guess, case.species)))
    frame = Frame(effort, book, judged, cautions, why)
    if not found[0].graph.keys:
        return nothing_drawn(found, frame)
    kept, dropped = worth_drawing(found, effort, progress)
    samples = sample_cases(kept, effort, "full", progress)
    chances = void_chances(samples)
    if _more_wanted(samples, chances, effort):
        more = msgspec.structs.replace(effort, draws=MORE * effort.draws)
        samples = sample_cases(kept, more, "again", progress)
        chances = void_chances(samples)
    return answer(samples, dropped, chances, frame)

"""How many there were, for those who ask; never on an owner's paper.

    how_many(job, "house mouse").likely

Limits: those of ``removal``: closed since the seals, every animal as easily caught.
"""

from __future__ import annotations

import msgspec

from wainscot.all_clear.removal import TOO_LOW, Likely, Line, guarded, leslie, too_few
from wainscot.all_clear.watching import Task, Watching, all_intervals, rounds
from wainscot.diagnosis.cases import species_of
from wainscot.job import Job, TrapCheck, typed

ALIKE = 1.25
"""Rounds whose trap nights differ by less than this factor count as the same effort. [1]"""


class HowMany(msgspec.Struct, frozen=True):
    """An estimate of the number, or why none is told."""

    catches: tuple[int, ...]
    """By round."""
    effort: tuple[float, ...]
    """Trap nights of each round. [nights]"""
    likely: Likely | None
    """By removal, where the effort was the same each time."""
    line: Line | None
    """By catch per effort against what was caught before (Leslie), where it differed."""
    why: str


class Trapping(msgspec.Struct, frozen=True):
    """What ``wainscot traps`` prints."""

    watching: Watching
    next_round: tuple[Task, ...]
    species: str
    how_many: HowMany | None = None


def how_many(job: Job, species: str) -> HowMany:
    """Return how many animals there were before the first trap night.

    Parameters
    ----------
    job : Job
        A job without faults.
    species : str
        The animal.
    """
    seen = [one for one in rounds(all_intervals(job, species)) if one.nights > 0]
    catches = tuple(one.catches for one in seen)
    effort = tuple(one.nights for one in seen)
    if why := too_few(catches):
        return HowMany(catches, effort, None, None, why)
    if max(effort) < ALIKE * min(effort):
        likely, why = guarded(catches)
        return HowMany(catches, effort, likely, None, why)
    # Whether catches fall shows only against the effort, which the line asks itself.
    try:
        return HowMany(catches, effort, None, leslie(catches, effort), TOO_LOW)
    except ValueError as error:
        return HowMany(catches, effort, None, None, f"the effort differed and {error}")


def animal_of(job: Job) -> str:
    """Return the animal that the traps caught most often, else the likeliest in question.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    caught: dict[str, int] = {}
    for one in typed(job).values():
        if isinstance(one, TrapCheck) and one.state == "caught" and one.species:
            caught[one.species] = caught.get(one.species, 0) + one.count
    if caught:
        return max(sorted(caught), key=lambda name: caught[name])
    chances = species_of(job)
    return max(chances, key=lambda name: chances[name]).partition(" and ")[0]

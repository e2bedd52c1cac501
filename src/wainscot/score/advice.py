"""What the tool advised of each bay before it was opened, and what was found in it.

    opened = opened_in(events, job_id, seed=1)
    [(one.label, one.band, one.soiled) for one in opened]

Bays that were opened on one day are a round.  The advice that stood is the diagnosis of the record
as it was before the first of them was logged; it is calculated anew, with the rates given, because
nobody keeps an answer.  Where a whole job came in as one file, what was written in the same breath
counts as before, without the openings of that day and what is dated later.

Limits: a bay that was not drawn before has no advice; an opening over several bays, or one of which
less than four fifths could be seen, is told apart and not counted; an opening that was withdrawn
again never was.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import msgspec

from wainscot import voids as voids_step
from wainscot.access.reaching import REACHED
from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.book import Book
from wainscot.diagnosis import diagnose
from wainscot.job import Inspection, Job, Place, typed
from wainscot.job import faults as job_faults
from wainscot.plan import faults as plan_faults
from wainscot.record import Event, fold, instant
from wainscot.signs import DEFAULT, Rates
from wainscot.signs import faults as sign_faults
from wainscot.voids.graph import Graph

SEEN = "opened and seen"
NOT_DRAWN = "not drawn"
"""Stands for the band of a bay that the plan did not have before it was opened."""


class Opened(msgspec.Struct, frozen=True):
    """One bay that was laid open."""

    inspection: str
    """Id of the inspection that says so."""
    day: str
    """Day of its round, as the record has it."""
    void: str = ""
    label: str = ""
    words: str = ""
    band: str = NOT_DRAWN
    """What was advised before: ``open``, ``check first``, ``leave``, ``can't tell yet``."""
    chance: float | None = None
    """Of soil, before it was opened. [1]"""
    seen: str = ""
    """What was found: ``clean``, ``light``, ``heavy``, ``nest`` or ``soiled``."""
    left_out: str = ""
    """Why it is not counted: ``several`` or ``part``; empty where it is."""

    @property
    def soiled(self) -> bool:
        """True where anything lay there."""
        return self.seen not in ("", "clean")


def opened_in(
    events: Iterable[Event],
    job_id: str,
    *,
    seed: int = 1,
    draws: int = 4096,
    book: Book = DEFAULT_BOOK,
    rates: Rates = DEFAULT,
) -> tuple[Opened, ...]:
    """Return every bay of a job that was opened, with the advice that stood before.

    Parameters
    ----------
    events : iterable of Event
        The job's record, in any order.
    job_id : str
        Id of the job.
    seed, draws : int
        Of the diagnoses that are made again.
    book : Book, optional
        The firm's rates, for the bands.
    rates : Rates, optional
        The rates of the signs.

    Raises
    ------
    RecordError
        If an event was altered or cannot be read.
    """
    mine = sorted((one for one in events if one.job == job_id),
                  key=lambda one: (instant(one.at), one.device, one.seq))  # fmt: skip
    now = fold(mine, job_id)
    rounds = _rounds(mine, _openings(now))
    found: list[Opened] = []
    for day, keys in sorted(rounds.items()):
        before = _before(mine, job_id, day, keys, rounds)
        looks = {key: msgspec.convert(now.entities[key], Inspection) for key in sorted(keys)}
        advised = Advice(before, seed=seed, draws=draws, book=book, rates=rates)
        found += [advised.of(key, day, one) for key, one in looks.items()]
    return tuple(found)


def sight_of(look: Inspection) -> str:
    """Return what an inspection says was found in the open bay; empty if it is no opening."""
    return next((find.amount for find in look.finds if find.kind == SEEN), "")


def _openings(job: Job) -> frozenset[str]:
    looks = {key: one for key, one in typed(job).items() if isinstance(one, Inspection)}
    return frozenset(key for key, one in looks.items() if sight_of(one))


def _rounds(events: list[Event], openings: frozenset[str]) -> dict[str, set[str]]:
    """Return the openings by the day on which the record first names each."""
    first: dict[str, str] = {}
    for one in events:
        if one.entity in openings:
            first.setdefault(one.entity, one.at[:10])
    days: dict[str, set[str]] = {}
    for key, day in first.items():
        days.setdefault(_dated(events, key) or day, set()).add(key)
    return days


def _dated(events: list[Event], key: str) -> str:
    """Return the day that an inspection says of itself, as it was first written."""
    value: Any = next(one.value for one in events if one.entity == key)
    return str(value.get("at", ""))[:10] if isinstance(value, dict) else ""


def _before(
    events: list[Event], job_id: str, day: str, keys: set[str], rounds: dict[str, set[str]]
) -> Job:
    """Return the job as it stood before a round was logged."""
    first = next(one for one in events if one.entity in keys)
    known = [one for one in events if instant(one.at) <= instant(first.at)]
    job = fold(known, job_id)
    later = {key for other, some in rounds.items() if other >= day for key in some}
    kept = {
        key: one for key, one in job.entities.items() if key not in later and not _after(one, day)
    }
    return msgspec.structs.replace(job, entities=kept)


def _after(entity: dict[str, Any], day: str) -> bool:
    """True for a look that is dated after the round."""
    return entity.get("kind") == "inspection" and str(entity.get("at", ""))[:10] > day


class Advice:
    """What was advised of every void of a job as it stood.

    Parameters
    ----------
    job : Job
        The job before the round.
    seed, draws, book, rates
        As in :func:`opened_in`.
    """

    def __init__(self, job: Job, *, seed: int, draws: int, book: Book, rates: Rates) -> None:
        self.bands: dict[str, tuple[str, float]] = {}
        self.graph: Graph | None = None
        if job_faults(job) or plan_faults(job) or sign_faults(job):
            return
        found, drawn = diagnose(job, seed=seed, draws=draws, book=book, rates=rates)
        if not drawn.cases:
            return
        species, guess = drawn.cases[0]
        self.plan = voids_step.framed(job, guess).plan
        self.graph = voids_step.build(self.plan, species)
        self.bands = {one.id: (one.band, one.soiled) for one in found.voids}

    def of(self, key: str, day: str, look: Inspection) -> Opened:
        """Return one opening with what was advised of its bay.

        Parameters
        ----------
        key : str
            Id of the inspection.
        day : str
            Day of the round.
        look : Inspection
            What was seen.
        """
        one = Opened(key, day, seen=sight_of(look))
        voids = self._voids(look.place)
        if self.graph is None or not voids:
            return one
        if len(voids) > 1:
            return msgspec.structs.replace(one, left_out="several")
        (v,) = voids
        band, chance = self.bands.get(self.graph.keys[v], (NOT_DRAWN, None))
        return msgspec.structs.replace(
            one, void=self.graph.keys[v], label=self.graph.labels[v], words=self.graph.words[v],
            band=band, chance=chance, left_out="part" if look.share_seen < REACHED.value else "",
        )  # fmt: skip

    def _voids(self, place: Place | None) -> tuple[int, ...]:
        """Return the hidden voids at a place; of a spot the nearest alone."""
        if place is None or self.graph is None:
            return ()
        graph = self.graph
        found = voids_step.locate(graph, self.plan, place)
        hidden = tuple(v for v in found if graph.hidden[v])
        spot = place.extent is None and (place.at is not None or place.along is not None)
        return hidden[:1] if spot else hidden


def counted(opened: Iterable[Opened]) -> Iterator[Opened]:
    """Return those that count: one bay, seen nearly whole, with what was found."""
    return (one for one in opened if not one.left_out and one.seen)

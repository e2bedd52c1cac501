"""The graph of voids and passages: what ``voids`` gives and ``diagnosis`` reads.

Arrays, not objects: index v is a void, p a passage (two ends), e a source (a way in, at one void).
Rooms are voids too (``hidden`` is False for them), so that an animal may cross a kitchen.

    graph = build(plan, species="norway rat")
    graph.labels[v], graph.polygon[v], graph.edges[p], graph.prior_open[p]

Sources are of three sorts: ``entry point`` (drawn, ``source_named``), ``unknown`` (a way in that
nobody drew, one per void that touches an edge of the plan; pooled by ``source_pool``, side and edge
kind, when they are told), and ``settled`` (a colony brought in or shut in, tiny, one per void).

Limits: a passage is open or not for the whole time looked at; a seal is a new event and a new
graph.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.arrays import Bools, Floats, Ints


class Face(msgspec.Struct, frozen=True):
    """A side of a void that a hand or a blade could come through."""

    room: str
    """Id of the room that it is reached from; empty if from outside or below."""
    part: Literal["wall", "floor", "ceiling", "front", "top"]
    finish: str
    area: float
    """[m2]"""


class Graph(msgspec.Struct, frozen=True):
    """Voids, passages and ways in of one plan under one framing guess for one species.

    Shapes: V voids, P passages, E sources.  Lengths [m], volumes [m3].
    """

    keys: tuple[str, ...]
    """Void ids: owner + role + module index; never list order."""
    labels: tuple[str, ...]
    """Short label on the plan, ``N7``; unique in the job."""
    kinds: tuple[str, ...]
    """``room``, ``stud bay``, ``joist bay``, ``crawl space``, ``loft``, ``under bath``, ..."""
    words: tuple[str, ...]
    """In words for people: ``stud bay N7, kitchen north wall``."""
    owners: tuple[str, ...]
    """Entity that owns it (room, wall, fixture, storey id)."""
    storeys: tuple[str, ...]
    """Storey id it is drawn on."""
    hidden: Bools
    polygon: tuple[Floats, ...]
    """Outline in plan, one [n, 2] array a void, anticlockwise. [m]"""
    bottom: Floats
    top: Floats
    """[V] heights above level 0's finished floor. [m]"""
    volume: Floats
    """[V] [m3]"""
    faces: tuple[tuple[Face, ...], ...]
    edges: Ints
    """[P, 2] void indices, lower first."""
    passage_keys: tuple[str, ...]
    passage_rule: tuple[str, ...]
    """Provenance, the rule's name: ``pipe through sole plate``."""
    passage_words: tuple[str, ...]
    """For people, fits after ">": ``gap round the waste pipe``."""
    aperture: Floats
    """[P, 2] low and high bound of the largest ball that passes. [m]"""
    prior_open: Floats
    """[P] chance that this species can pass, given the aperture, the edge and the rule. [1]"""
    prior_run: Floats
    """[P] chance that animals at one end use it, given that they can. [1]"""
    gnawable: Bools
    passage_at: Floats
    """[P, 3] where it is. [m]"""
    source_keys: tuple[str, ...]
    source_words: tuple[str, ...]
    source_sort: tuple[Literal["entry point", "unknown", "settled"], ...]
    source_pool: tuple[str, ...]
    """What unlocated sources are pooled under in the answer: ``outside, north side``."""
    source_void: Ints
    source_prior: Floats
    """[E, 3] chances of never, past, now; each row sums to 1. [1]"""
    source_at: Floats
    """[E, 3] where it is: an entry point's own place. [m]"""
    species: str = ""
    guess: str = ""
    harborage: tuple[str, ...] = ()
    """Class of harbourage of each void: ``room``, ``narrow``, ``wide`` or ``warm``."""
    undrawn: frozenset[int] = frozenset()
    """Passages that nobody drew: the small chance that a shared face lets something through."""

    def index(self) -> dict[str, int]:
        """Return the void's index by its id."""
        return {key: v for v, key in enumerate(self.keys)}

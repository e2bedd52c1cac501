"""Repeat sightings of one trace count once, with the best of what each sighting says.

The best graded sighting stands (then the earliest); what it leaves open, a species, a length, an
age, an amount, is taken from the others, the best graded first.  So a tenant's word for droppings
that we then saw and measured is one trace, seen, with its length.

Limits: the same trace is joined by hand (``same_trace_as``); nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from wainscot.job import Find, Inspection

_GRADES = ("photographed", "seen", "told")

Sighting = tuple[str, int]
"""Inspection id and the find's index in it."""


class Traces(msgspec.Struct, frozen=True):
    """Which sightings only repeat another one, and what the ones that stand say in full."""

    extra: frozenset[Sighting]
    joined: dict[Sighting, Find]


def traces(inspections: Mapping[str, Inspection]) -> Traces:
    """Return how the sightings of all inspections are joined to traces.

    Parameters
    ----------
    inspections : mapping
        Inspections by id.
    """
    extra: set[Sighting] = set()
    joined: dict[Sighting, Find] = {}
    for members in _groups(inspections):
        members.sort(key=lambda each: _rank(each, inspections))
        first, *others = members
        extra.update(others)
        if others:
            joined[first] = _filled([inspections[key].finds[i] for key, i in members])
    return Traces(frozenset(extra), joined)


def _groups(inspections: Mapping[str, Inspection]) -> list[list[Sighting]]:
    parent: dict[Sighting, Sighting] = {
        (key, i): (key, i) for key, one in inspections.items() for i in range(len(one.finds))
    }

    def root(sighting: Sighting) -> Sighting:
        while parent[sighting] != sighting:
            sighting = parent[sighting]
        return sighting

    for key, one in inspections.items():
        for i, find in enumerate(one.finds):
            first = _first_of(find.kind, find.same_trace_as, inspections)
            if find.same_trace_as and first is not None:
                parent[root((key, i))] = root(first)
    groups: dict[Sighting, list[Sighting]] = {}
    for sighting in parent:
        groups.setdefault(root(sighting), []).append(sighting)
    return list(groups.values())


def _filled(finds: list[Find]) -> Find:
    """The first find with what it leaves open taken from the others."""
    full = finds[0]
    for other in finds[1:]:
        full = msgspec.structs.replace(
            full,
            amount=full.amount or other.amount,
            species=full.species or other.species,
            length=full.length if full.length is not None else other.length,
            freshness=full.freshness if full.freshness != "unsure" else other.freshness,
        )
    return full


def _first_of(kind: str, key: str, inspections: Mapping[str, Inspection]) -> Sighting | None:
    if key not in inspections:
        return None
    finds = inspections[key].finds
    return next(((key, i) for i, find in enumerate(finds) if find.kind == kind), None)


def _rank(sighting: Sighting, inspections: Mapping[str, Inspection]) -> tuple[int, str, str, int]:
    key, i = sighting
    one = inspections[key]
    return (_GRADES.index(one.grade), one.at, key, i)

"""Repeat sightings of one trace count once: the best graded, then the earliest.

Limits: the same trace is joined by hand (``same_trace_as``); nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Mapping

from wainscot.job import Inspection

_GRADES = ("photographed", "seen", "told")

Sighting = tuple[str, int]
"""Inspection id and the find's index in it."""


def repeated(inspections: Mapping[str, Inspection]) -> frozenset[Sighting]:
    """Return the finds that only repeat another one and therefore say nothing more.

    Parameters
    ----------
    inspections : mapping
        Inspections by id.
    """
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
    extra: set[Sighting] = set()
    for members in groups.values():
        members.sort(key=lambda each: _rank(each, inspections))
        extra.update(members[1:])
    return frozenset(extra)


def _first_of(kind: str, key: str, inspections: Mapping[str, Inspection]) -> Sighting | None:
    if key not in inspections:
        return None
    finds = inspections[key].finds
    return next(((key, i) for i, find in enumerate(finds) if find.kind == kind), None)


def _rank(sighting: Sighting, inspections: Mapping[str, Inspection]) -> tuple[int, str, str, int]:
    key, i = sighting
    one = inspections[key]
    return (_GRADES.index(one.grade), one.at, key, i)

"""Marks of what was seen and where somebody looked, by panel.

A flat square is a find, with the letter of its kind; a square with a bar is a look that found
nothing; a ring is the zone that a sound was heard in.  Marks lie where the inspection's place says;
where it names a thing only, in the middle of it.

Limits: one mark an inspection, for its first find.
"""

from __future__ import annotations

import numpy as np
import shapely

from wainscot.arrays import Floats
from wainscot.diagnosis.answer import Diagnosis
from wainscot.job import Inspection, Job, typed
from wainscot.picture.places import point_of
from wainscot.picture.sheet import Point, SignShape
from wainscot.plan.model import Plan
from wainscot.quantity import length
from wainscot.signs import KINDS
from wainscot.signs.evidence import Evidence, Statement
from wainscot.voids.graph import Graph


def place_signs(
    job: Job,
    plan: Plan,
    graph: Graph,
    evidence: Evidence | None,
    diagnosis: Diagnosis | None,
    by_void: dict[int, int],
) -> dict[int, list[SignShape]]:
    """Return the marks by panel.

    Parameters
    ----------
    job : Job
        For the inspections as typed.
    plan : Plan
        For the places that they name.
    graph : Graph
        For the outlines of the voids.
    evidence : Evidence or None
        Says which voids each inspection speaks of.
    diagnosis : Diagnosis or None
        Says which signs no drawn way in explains.
    by_void : dict
        Panel of each void.
    """
    if evidence is None:
        return {}
    odd = {each.inspection for each in diagnosis.misfits} if diagnosis else set()
    inspections = {key: each for key, each in typed(job).items() if isinstance(each, Inspection)}
    found: dict[int, list[SignShape]] = {}
    for key, statement in _spoken(evidence).items():
        look = inspections.get(key)
        voids = [v for v in _voids(evidence, graph, statement) if v in by_void]
        if look is None or not voids:
            continue
        at, nearest = _point(plan, graph, look, voids)
        shape = SignShape(
            letter=_letter(look), look="found" if statement.positive else "nothing",
            kind=look.finds[0].kind if look.finds else "", words=statement.words, at=at,
            radius=_radius(look), unexplained=key in odd,
        )  # fmt: skip
        found.setdefault(by_void[nearest], []).append(shape)
    return found


def _spoken(evidence: Evidence) -> dict[str, Statement]:
    """One statement an inspection: that of its find, where it has one."""
    chosen: dict[str, Statement] = {}
    for statement in evidence.statements:
        if statement.key not in chosen or (
            statement.positive and not chosen[statement.key].positive
        ):
            chosen[statement.key] = statement
    return chosen


def _voids(evidence: Evidence, graph: Graph, statement: Statement) -> list[int]:
    if len(statement.voids):
        return [int(v) for v in statement.voids]
    if statement.zone >= 0:
        low, high = evidence.zone_offsets[statement.zone : statement.zone + 2]
        return [int(v) for v in evidence.zone_void[low:high]]
    if statement.source >= 0:
        return [int(graph.source_void[statement.source])]
    return []


def _point(plan: Plan, graph: Graph, look: Inspection, voids: list[int]) -> tuple[Point, int]:
    centres = np.array([_middle(graph.polygon[v]) for v in voids])
    place = look.place
    named = point_of(plan, place) if place is not None else None
    if named is not None:
        at = named
    elif place is not None and place.radius is not None:
        at = (float(centres[:, 0].mean()), float(centres[:, 1].mean()))
    else:
        at = (float(centres[0, 0]), float(centres[0, 1]))
    nearest = voids[int(np.argmin(((centres - np.array(at)) ** 2).sum(axis=1)))]
    return at, nearest


def _middle(outline: Floats) -> Point:
    """The middle of an outline, or a point well within one that bends round its middle. [m]"""
    x, y = (outline.min(axis=0) + outline.max(axis=0)) / 2
    shape = shapely.Polygon(outline)
    if shape.contains(shapely.Point(x, y)):
        return (float(x), float(y))
    within = shape.representative_point()
    return (float(within.x), float(within.y))


def _radius(look: Inspection) -> float:
    if look.place is None or look.place.radius is None:
        return 0.0
    return length(look.place.radius)


def _letter(look: Inspection) -> str:
    if look.finds and look.finds[0].kind in KINDS:
        return KINDS[look.finds[0].kind].letter
    return "T" if look.nights is not None else ""

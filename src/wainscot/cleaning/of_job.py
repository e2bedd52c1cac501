"""Containment and cleaning of what is to be opened: the work of a job, room by room.

    work = work_of(job, plan, graph, voids, label)
    work.containments, work.cleaning, work.waits

Limits: a room is contained by itself, one after the other; the air of the cleaning is what was read
last in any of the rooms, and assumed until somebody reads it.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from wainscot.access import site_of
from wainscot.access.model import HoldPoint
from wainscot.air import moist
from wainscot.cleaning.applied import label_in
from wainscot.cleaning.planning import Cleaning, clean, surfaces_of, wetting_holds
from wainscot.cleaning.products import Label
from wainscot.cleaning.room_air import ASSUMED, RoomAir, room_air
from wainscot.containment import Containment, contain, work_area
from wainscot.containment.holds import Said, holds
from wainscot.errors import Fault, InputError
from wainscot.job import Job
from wainscot.plan import Plan
from wainscot.voids.graph import Graph


class Work(msgspec.Struct, frozen=True):
    """What is held, wetted and waited for before the voids to open are closed again."""

    voids: tuple[str, ...]
    """Labels of the voids that are cleaned."""
    containments: tuple[Containment, ...]
    """One for each room that a void is reached from, upper storeys first."""
    cleaning: Cleaning | None
    """None while it waits."""
    waits: tuple[Fault, ...]
    """Why there is no cleaning yet: no label, or one that stops the plan."""
    holds: tuple[HoldPoint, ...]
    """Of both, each once: what must be signed before a fan runs and before anything is wetted."""
    temperature: float = ASSUMED[0]
    """Of the air that the cleaning is reckoned in. [K]"""
    humidity: float = ASSUMED[1]
    """Likewise. [1]"""
    air: str = ""
    """What of the air was read and what is assumed."""
    fans_wait: tuple[str, ...] = ()
    """Keys of the hold points that every fan, and all that comes after it, waits for."""
    wetting_waits: tuple[str, ...] = ()
    """Keys of those that wetting, and all that comes after it, waits for besides."""


def work_of(
    job: Job, plan: Plan, graph: Graph, voids: Sequence[int], label: Label | None = None
) -> Work:
    """Return containment and cleaning of voids.

    Parameters
    ----------
    job : Job
        A job without faults; its releases count.
    plan : Plan
        Its plan.
    graph : Graph
        Its voids.
    voids : sequence of int
        Those that are to be opened.
    label : Label, optional
        Of the product in the hand; that of the job if left out, and without one cleaning waits.

    Notes
    -----
    Upper storeys come first, for dirt falls (common practice, no source); rooms of one storey in
    the order of the voids.
    """
    released = site_of(job).released
    drawn = {room.id: room for room in plan.rooms}
    level = {storey.id: storey.level for storey in plan.storeys}
    rooms = dict.fromkeys(face.room for v in voids for face in graph.faces[v] if face.room in drawn)
    ordered = sorted(rooms, key=lambda room: -level[drawn[room].storey])
    contained = tuple(contain(work_area(plan, [room]), released=released) for room in ordered)
    air = room_air(job, ordered)
    cleaning, waits = _cleaning(job, graph, voids, label, released, air)
    before_fans = holds(Said(), released) if contained else ()
    before_wet = wetting_holds(released) if voids else ()
    return Work(
        tuple(graph.labels[v] for v in voids), contained, cleaning, waits,
        (*before_wet, *before_fans), air.temperature, air.humidity, air.words,
        _stopping(before_fans), _stopping(before_wet),
    )  # fmt: skip


def _stopping(found: Sequence[HoldPoint]) -> tuple[str, ...]:
    return tuple(one.key for one in found if one.standing != "care")


def _cleaning(
    job: Job,
    graph: Graph,
    voids: Sequence[int],
    label: Label | None,
    released: frozenset[str],
    air: RoomAir,
) -> tuple[Cleaning | None, tuple[Fault, ...]]:
    """Return the cleaning, or why it waits; a label that stops it stops nothing else."""
    if not voids:
        return None, ()
    try:
        label = label or label_in(job)
        weather = moist(air.temperature, air.humidity)
        if label is not None:
            return clean(surfaces_of(graph, voids), label, weather, released=released), ()
    except InputError as error:
        return None, tuple(error.faults)
    return None, (
        Fault("label-missing", "label", "no label is typed in, so nothing is wetted yet",
              "type in the label of the product in the hand (wainscot label)"),
    )  # fmt: skip

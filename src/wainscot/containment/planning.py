"""The containment of a work area: what to hang, what to draw out, how long to wait.

Limits: one sheeted room or part of a room; leakage is a judgement until it is measured on site.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec
from shapely.geometry import Polygon

from wainscot.access.model import HoldPoint
from wainscot.air import Leak, effective_area
from wainscot.air.asking import positive, refuse
from wainscot.containment.exhaust import (
    CHANGES,
    DERATE,
    EFFICIENCY,
    MIXING,
    PRESSURE,
    UNIT,
    Exhaust,
    exhaust,
    purge_minutes,
)  # fmt: skip
from wainscot.containment.holds import Said, holds
from wainscot.containment.house import Spread
from wainscot.errors import InputError, unknown_word
from wainscot.plan import Plan
from wainscot.sources import Cited, judged

OVERLAP = judged(1.15, "1", "sheet for overlaps, folds and tape")
POST_EVERY = judged(1.5, "m", "distance of posts of a frame that holds a sheet")
LAYERS = judged(2.0, "1", "sheets on the floor")
LEAK_PER_EDGE = judged(
    2e-4, "m2/m", "effective leakage area along the edges of sheets taped with care, at 4 Pa"
)
ZIP = judged(0.005, "m2", "effective leakage area of one zip door, shut")


class WorkArea(msgspec.Struct, frozen=True):
    """What is sheeted off."""

    names: tuple[str, ...]
    floor: float
    """[m2]"""
    perimeter: float
    """[m]"""
    height: float
    """[m]"""
    free: float = 0.0
    """Length of the perimeter where there is no wall, so that a sheet on posts stands. [m]"""
    doors: int = 1
    """Ways in that get a zip door."""
    rooms: tuple[str, ...] = ()
    """Their ids, where they are rooms of a plan."""

    @property
    def volume(self) -> float:
        """Of the air in it. [m3]"""
        return self.floor * self.height


class Sheets(msgspec.Struct, frozen=True):
    """What to bring for it."""

    sheet: float
    """On walls, ceiling and posts. [m2]"""
    floor: float
    """Floor protection, all layers. [m2]"""
    posts: int
    tape: float
    """[m]"""
    zip_doors: int


class Containment(msgspec.Struct, frozen=True):
    """The answer: quantities, exhaust, purge, hold points."""

    work: WorkArea
    sheets: Sheets
    leakage_measured: bool
    exhaust: Exhaust
    purge_minutes: float
    """At the end, with everything wet or bagged. [min]"""
    mixing: float
    """[1]"""
    holds: tuple[HoldPoint, ...]
    assumed: tuple[Cited, ...]
    warnings: tuple[str, ...]
    leak: Leak | None = None
    """Of the sheets and zip doors, that the figures stand on."""
    spread: Spread | None = None
    """Through the whole house, where its voids are at hand; see :mod:`.house`."""


def work_area(plan: Plan, rooms: Sequence[str]) -> WorkArea:
    """Return rooms of a plan as one work area.

    Parameters
    ----------
    plan : Plan
        The plan.
    rooms : sequence of str
        Ids or names of drawn rooms on one storey.

    Raises
    ------
    InputError
        If a room is not drawn, or they lie on more than one storey.
    """
    by_name = {room.name.lower(): room for room in plan.rooms} | {one.id: one for one in plan.rooms}
    missing = [name for name in rooms if name not in by_name and name.lower() not in by_name]
    if missing or not rooms:
        raise InputError([
            unknown_word("air-value", "room", "drawn room", name, by_name)
            for name in missing or ("",)
        ])  # fmt: skip
    chosen = list(dict.fromkeys(by_name.get(name) or by_name[name.lower()] for name in rooms))
    if len({room.storey for room in chosen}) > 1:
        raise refuse("rooms", f"{', '.join(room.name for room in chosen)} lie on more than one "
                     "storey", "contain each storey by itself")  # fmt: skip
    outlines = [Polygon(room.polygon) for room in chosen]
    heights = [storey.height for room in chosen for storey in plan.storeys
               if storey.id == room.storey]  # fmt: skip
    return WorkArea(
        tuple(room.name for room in chosen),
        math.fsum(one.area for one in outlines), math.fsum(one.length for one in outlines),
        max(heights), doors=len(chosen), rooms=tuple(room.id for room in chosen),
    )  # fmt: skip


def contain(
    work: WorkArea,
    *,
    leak: Leak | None = None,
    changes: float = CHANGES.value,
    pressure: float = PRESSURE.value,
    unit: float = UNIT.value,
    derate: float = DERATE.value,
    stack: float = 0.0,
    mixing: float = MIXING.value,
    said: Said | None = None,
    released: frozenset[str] = frozenset(),
) -> Containment:
    """Return what a work area takes, and what must be settled before a fan runs.

    Parameters
    ----------
    work : WorkArea
        What is sheeted off.
    leak : Leak, optional
        Its leakage if measured; a judgement by the length of its edges if not.
    changes : float
        Air changes wanted. [1/h]
    pressure : float
        Wanted below the rooms beside it. [Pa]
    unit : float
        Flow on a unit's plate. [m3/s]
    derate : float
        Share of it that is left. [1]
    stack : float
        Greatest pull of the warm house here. [Pa]
    mixing : float
        Mixing factor of the purge, 1 to 10. [1]
    said : Said, optional
        What is known of burners, garage and ducts.
    released : frozenset of str
        Hold points that a named person has released.

    Raises
    ------
    InputError
        If a value cannot be.
    """
    for name in ("floor", "perimeter", "height"):
        positive(f"work.{name}", getattr(work, name))
    measured = leak is not None
    edges = 2 * work.perimeter + 4 * work.height
    found = leak or effective_area(edges * LEAK_PER_EDGE.value + work.doors * ZIP.value)
    drawn = exhaust(work.volume, found, changes=changes, pressure=pressure, unit=unit,
                    derate=derate, stack=stack)  # fmt: skip
    assumed = [OVERLAP, POST_EVERY, LAYERS] + ([] if measured else [LEAK_PER_EDGE, ZIP])
    chosen = ((unit, UNIT), (derate, DERATE), (mixing, MIXING))
    assumed += [one for value, one in chosen if value == one.value]
    return Containment(
        work, _sheets(work, edges), measured, drawn,
        purge_minutes(drawn.changes, EFFICIENCY, mixing), mixing,
        holds(said or Said(), released), tuple(assumed), drawn.warnings, found,
    )  # fmt: skip


def _sheets(work: WorkArea, edges: float) -> Sheets:
    hung = work.perimeter * work.height + work.floor
    posts = math.ceil(work.free / POST_EVERY.value) + 1 if work.free > 0 else 0
    return Sheets(
        hung * OVERLAP.value, work.floor * LAYERS.value * OVERLAP.value, posts,
        edges * OVERLAP.value, work.doors,
    )  # fmt: skip

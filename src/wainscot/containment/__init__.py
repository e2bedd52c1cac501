"""Containment: sheeting, exhaust and purge of a work area, hold points before a fan, exposure.

    work = WorkArea(floor=12.0, perimeter=14.0, height=2.4, leak=effective_area(0.03))
    planned = contain(work)
    planned.exhaust.units, planned.purge_minutes, planned.holds

Limits: the numbers plan the work and measure nothing; a manometer and a CO alarm on site do.
"""

from wainscot.containment.dose import NextDoor, next_door, through_airlock
from wainscot.containment.exhaust import Exhaust, exhaust, purge_minutes, units_for
from wainscot.containment.exposure import (
    LIMITS,
    PROTECTION,
    Limit,
    Reentry,
    limit_for,
    maximum_use,
    milligrams,
    mixture,
    parts,
    reentry,
)  # fmt: skip
from wainscot.containment.holds import Said, holds
from wainscot.containment.house import RoomDose, Spread, spread
from wainscot.containment.planning import Containment, Sheets, WorkArea, contain, work_area

__all__ = [
    "LIMITS", "PROTECTION", "Containment", "Exhaust", "Limit", "NextDoor", "Reentry", "RoomDose",
    "Said", "Sheets", "Spread", "WorkArea", "contain", "exhaust", "holds", "limit_for",
    "maximum_use", "milligrams", "mixture", "next_door", "parts", "purge_minutes", "reentry",
    "spread", "through_airlock", "units_for", "work_area",
]  # fmt: skip

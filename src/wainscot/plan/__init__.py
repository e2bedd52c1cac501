"""What was drawn becomes exact geometry: storeys, rooms, walls, fixtures, services, edges.

    plan = read(job)
    [wall.id for wall in plan.walls]      # ["bathroom/e1", ..., "kitchen/e1", ...]
    plan.assumptions                      # every default that stands in for a fact

A wall has no entity of its own unless somebody described it: it follows from the rooms.  The one
between kitchen and bathroom is ``bathroom/w1`` (the side that sorts first owns it).  Fixture types
are files in ``plan/fixtures``; the engines never ask which type one is.

Limits: straight walls, at any angle; one straight flight of stairs; ceilings are level.
"""

from wainscot.plan.faults import faults
from wainscot.plan.guesses import apply_guess, hypotheses
from wainscot.plan.kind import Kind, kinds
from wainscot.plan.model import Assumption, FixtureAt, Plan, Room, ServiceRun, Side, Storey, Wall
from wainscot.plan.reading import read

__all__ = [
    "Assumption",
    "FixtureAt",
    "Kind",
    "Plan",
    "Room",
    "ServiceRun",
    "Side",
    "Storey",
    "Wall",
    "apply_guess",
    "faults",
    "hypotheses",
    "kinds",
    "read",
]

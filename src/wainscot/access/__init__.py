"""Every physical way to see into or reach a void: time, repair, and what must be settled first.

    ways(plan, graph, site_of(job), questions_of(job))   # looks -> tuple[Access, ...]
    ways_to_open(plan, graph, site_of(job), book)        # openings -> tuple[Access, ...]

One file in ``acts`` is one kind of work, one file in ``hazards`` one danger.  Nothing that drills
or cuts may start while one of its hold points says "find out"; the check then is to find out.

Limits: times and repairs are judged or common practice; what is behind a finish is never known
from a plan.
"""

from wainscot.access.model import Access, Charge, ChargeKind, CutAt, HoldPoint, Reach, Site
from wainscot.access.offer import (
    all_acts,
    all_hazards,
    holds_together,
    own_cuts,
    questions_of,
    site_of,
    ways,
    ways_to_open,
)
from wainscot.access.own_cuts import OwnCutTold

__all__ = [
    "Access",
    "Charge",
    "ChargeKind",
    "CutAt",
    "HoldPoint",
    "OwnCutTold",
    "Reach",
    "Site",
    "all_acts",
    "all_hazards",
    "holds_together",
    "own_cuts",
    "questions_of",
    "site_of",
    "ways",
    "ways_to_open",
]

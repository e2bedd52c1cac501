"""Every physical way to see into or reach a void: time, repair, and what must be settled first.

    ways(plan, graph, site_of(job), questions_of(job))   # -> tuple[Access, ...]

One file in ``acts`` is one kind of work, one file in ``hazards`` one danger.  Nothing that drills
or cuts may start while one of its hold points says "find out"; the check then is to find out.

Limits: times and repairs are judged or common practice; openings (cuts that take work in hand) are
not made here yet; what is behind a finish is never known from a plan.
"""

from wainscot.access.model import Access, HoldPoint, Reach, Site
from wainscot.access.offer import all_acts, all_hazards, questions_of, site_of, ways

__all__ = [
    "Access",
    "HoldPoint",
    "Reach",
    "Site",
    "all_acts",
    "all_hazards",
    "questions_of",
    "site_of",
    "ways",
]

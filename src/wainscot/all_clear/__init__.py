"""Are they gone?  Traps, smell and moisture over time, and how sure the answer is.

    found = all_clear(job, plan, graph, draws, sealing)
    found.statement.outcome      # over / quiet and monitored / not over / not yet known

Never "over" from empty traps where they cover little or a way in stays open.

Limits: see ``outcome``; most rates are judged, because nobody published them for houses.
"""

from wainscot.all_clear.decay import Floor, floor_of, readings_of, still_fed
from wainscot.all_clear.of_job import AllClear, all_clear
from wainscot.all_clear.outcome import Case, Statement, judge
from wainscot.all_clear.watching import Task, Watching, next_round, watching

__all__ = [
    "AllClear",
    "Case",
    "Floor",
    "Statement",
    "Task",
    "Watching",
    "all_clear",
    "floor_of",
    "judge",
    "next_round",
    "readings_of",
    "still_fed",
    "watching",
]

"""Are they gone?  Traps, smell and moisture over time, and how sure the answer is.

    found = all_clear(job, plan, graph, draws, sealing)
    found.statement.outcome      # over / quiet and monitored / not over / not yet known

Never "over" from empty traps where they cover little or a way in stays open.

Limits: see ``outcome``; most rates are judged, because nobody published them for houses.
"""

from wainscot.all_clear.callback import Callback
from wainscot.all_clear.counting import HowMany, Trapping, animal_of, how_many
from wainscot.all_clear.of_job import AllClear, Night, all_clear
from wainscot.all_clear.outcome import Case, Statement, judge
from wainscot.all_clear.rate import Rate, rate_of
from wainscot.all_clear.smells import Smell, smells_of
from wainscot.all_clear.watching import Task, Watching, next_round, spacing, watching

__all__ = [
    "AllClear",
    "Callback",
    "Case",
    "HowMany",
    "Night",
    "Rate",
    "Smell",
    "Statement",
    "Task",
    "Trapping",
    "Watching",
    "all_clear",
    "animal_of",
    "how_many",
    "judge",
    "next_round",
    "rate_of",
    "smells_of",
    "spacing",
    "watching",
]

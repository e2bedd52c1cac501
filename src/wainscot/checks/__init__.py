"""The next check that is worth most for what it costs.

    result = rank(pool(samples), graph, evidence, ways, book)
    print("\\n".join(lines(result)))

A check is worth the fall in expected loss that its outcome is expected to bring: what leaving
soiled voids shut would cost (callbacks, from the book) against what opening them costs.  It pays if
that is more than its own time and making good.  When none pays it is time to open.

Limits: one check at a time, not the best pair of two; each void is decided by itself; one cost of
opening for every kind of void, as the bands have it; every rate is judged.
"""

from wainscot.checks.job_checks import next_checks
from wainscot.checks.pooled import Pooled, answers_of, pool
from wainscot.checks.ranking import Check, Result, rank
from wainscot.checks.words import lines

__all__ = ["Check", "Pooled", "Result", "answers_of", "lines", "next_checks", "pool", "rank"]

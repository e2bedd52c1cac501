"""Learning: the judged rates of the signs, moved by what closed jobs showed.

    found = learn([job for job in jobs if may_learn(job)], seed=1)
    print("\\n".join(lines(found)))

Limits: see :mod:`wainscot.learning.fitting`.
"""

from wainscot.learning.choosing import may_learn, when_open
from wainscot.learning.fitting import SPREAD, Learning, Learnt, learn
from wainscot.learning.saying import lines, overlay

__all__ = ["SPREAD", "Learning", "Learnt", "learn", "lines", "may_learn", "overlay", "when_open"]

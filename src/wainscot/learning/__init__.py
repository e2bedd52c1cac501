"""Learning: the judged rates of the signs, moved by what closed jobs showed.

Limits: see :mod:`wainscot.learning.fitting`.
"""

from wainscot.learning.fitting import SPREAD, Learning, Learnt, learn

__all__ = ["SPREAD", "Learning", "Learnt", "learn"]

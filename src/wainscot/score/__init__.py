"""The firm's own score: what was advised of the bays that were opened, and what was found.

Events in, values out.  Limits: see :mod:`wainscot.score.advice` and :mod:`wainscot.score.table`.
"""

from wainscot.score.advice import Advice, Opened, opened_in, sight_of
from wainscot.score.counting import Share, shared
from wainscot.score.table import BANDS, JobScore, Row, Score, ended, lines, of_job, score_of

__all__ = [
    "BANDS",
    "Advice",
    "JobScore",
    "Opened",
    "Row",
    "Score",
    "Share",
    "ended",
    "lines",
    "of_job",
    "opened_in",
    "score_of",
    "shared",
    "sight_of",
]

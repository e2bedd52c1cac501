"""Diagnosis: graph and evidence to what we think, with its error.

:func:`diagnose` gives the answer (:class:`~wainscot.diagnosis.answer.Diagnosis`) and the draws
behind it (:class:`~wainscot.diagnosis.draws.Draws`).  The numeric core is one WebAssembly module,
hosted by :mod:`wainscot.diagnosis.kernel`.
"""

from wainscot.diagnosis.answer import Diagnosis
from wainscot.diagnosis.cases import Case, cases
from wainscot.diagnosis.draws import Draws
from wainscot.diagnosis.sampling import Effort
from wainscot.diagnosis.weigh import diagnose, weigh_cases

__all__ = ["Case", "Diagnosis", "Draws", "Effort", "cases", "diagnose", "weigh_cases"]

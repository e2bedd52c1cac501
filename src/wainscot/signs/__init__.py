"""Signs: what inspections found, and what they looked for and did not find, as evidence.

The unit is the inspection: one look at one place by one method.  Finds multiply with the silence of
everything else that the method would have shown.  :func:`read` gives the evidence for one graph and
one species; :func:`faults` says what in a job nobody understands.

>>> sorted(KINDS)[:2]
['droppings', 'looked and saw nothing']

Limits: no odour, camera or tracks yet; each is one more file in ``kinds``.
"""

from wainscot.signs.evidence import Evidence, Statement, without
from wainscot.signs.faults import faults
from wainscot.signs.kind import KINDS, Kind
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.signs.read import read, weigh

__all__ = [
    "DEFAULT",
    "KINDS",
    "Evidence",
    "Kind",
    "Rates",
    "Statement",
    "faults",
    "read",
    "weigh",
    "without",
]

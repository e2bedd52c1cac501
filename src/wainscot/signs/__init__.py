"""Signs: what inspections found, and what they looked for and did not find, as evidence.

The unit is the inspection: one look at one place by one method.  Finds multiply with the silence of
everything else that the method would have shown.  :func:`read` gives the evidence for one graph and
one species; :func:`faults` says what in a job nobody understands.

>>> KINDS["droppings"].amounts
('few', 'many', 'heaps')

Limits: nearly every rate is judged; ``diagnosis.sensitivity`` says which of them matter.
"""

from wainscot.signs.evidence import Evidence, Statement
from wainscot.signs.faults import faults
from wainscot.signs.kind import KINDS, Kind
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.signs.read import again, read, weigh, without

__all__ = [
    "DEFAULT",
    "KINDS",
    "Evidence",
    "Kind",
    "Rates",
    "Statement",
    "again",
    "faults",
    "read",
    "weigh",
    "without",
]

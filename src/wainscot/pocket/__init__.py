"""What a phone carries to go on without the office, and how the office checks what it did.

    pocket = make(job, draws, book, seed=1)
    written(pocket)

The phone multiplies new looks into the rows, weighs the draws again and runs the same kernel.
:func:`replay` gives a phone's digests again, bit for bit, and :func:`differences` holds the rows
that it drew from to the office's own.

Limits: houses of up to 2,000 voids; smells, ranked checks, runs and the verdict stay the office's.
"""

from wainscot.pocket.making import make, written
from wainscot.pocket.replaying import PhoneCase, PhoneResult, differences, replay
from wainscot.pocket.sayings import sayings
from wainscot.pocket.shapes import Pocket

__all__ = [
    "PhoneCase",
    "PhoneResult",
    "Pocket",
    "differences",
    "make",
    "replay",
    "sayings",
    "written",
]

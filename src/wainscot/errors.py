"""Every message that a user can meet: what is wrong, where, and what to do next.

A step that finds something wrong with the input does not stop at the first fault.  It collects
:class:`Fault` values and raises one :class:`InputError` that holds them all, so that a person can
mend a file in one go.  ``path`` is the place in the job file, written as the file is nested:
``entities.room_kitchen.polygon[3]``.

>>> str(Fault("unknown-field", "entities.r1.nmae", "no field is called 'nmae'", "write 'name'"))
"entities.r1.nmae: no field is called 'nmae'; write 'name' [unknown-field]"
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec


class Fault(msgspec.Struct, frozen=True, order=True):
    """One thing that is wrong in the input.

    ``code`` is stable and listed in ``docs/errors.md``; ``cure`` says what to do next.
    """

    code: str
    path: str
    what: str
    cure: str

    def __str__(self) -> str:
        return f"{self.path}: {self.what}; {self.cure} [{self.code}]"


class WainscotError(Exception):
    """Base of every error that the project raises on purpose."""


class InputError(WainscotError):
    """The input cannot be used; ``faults`` says why, all at once."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))

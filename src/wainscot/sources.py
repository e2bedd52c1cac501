"""A value never travels without saying where it comes from.

>>> MOUSE = Cited(0.006, "m", "extension exclusion guide", "opening to seal", "read")
>>> MOUSE.is_judgement
False

``status`` is one of: ``read`` (seen in the source itself), ``second-hand`` (seen in somebody
else's copy or digest), ``memory`` (from memory, not read), ``derived`` (arithmetic from other
rows), ``common practice`` (known in the trade, no source), ``judgement`` (ours; nobody published
it, and the screen says so).
"""

from __future__ import annotations

from typing import Literal

import msgspec

Status = Literal["read", "second-hand", "memory", "derived", "common practice", "judgement"]


class Cited(msgspec.Struct, frozen=True):
    """A number with its unit and its standing."""

    value: float
    """[unit]"""
    unit: str
    source: str
    where: str = ""
    status: Status = "judgement"

    @property
    def is_judgement(self) -> bool:
        """True where nobody published the value."""
        return self.status == "judgement"


def judged(value: float, unit: str, why: str) -> Cited:
    """Return a value of our own judgement, with the reason for it.

    Parameters
    ----------
    value : float
        The value. [unit]
    unit : str
        Its unit; ``"1"`` for a pure number.
    why : str
        The reasoning, in one line.
    """
    return Cited(value, unit, why, "", "judgement")

"""Which fields of a job may tell of a person, and what stands there once they are erased.

A field counts by its name, in whatever kind of entity and however deep it stands, so that a field
of a later program is covered as well as one of today.

>>> "note" in PERSONAL, "polygon" in PERSONAL
(True, False)

Limits: what somebody types into another field (a material, an id, a price) is not covered.
"""

from __future__ import annotations

from typing import Any

from msgspec import field

from wainscot.job.parts import Entity

PERSONAL = frozenset({
    "access", "address", "by", "caller", "done", "evidence", "keys", "left_alone", "may_order",
    "name", "next", "note", "owner", "pays", "pets", "poison", "reason", "signature", "since",
    "source", "telephone", "title", "warranty", "who", "words",
})  # fmt: skip
"""Names of the fields whose texts stand beside an event and not in its hash."""

ERASED = "(erased)"
"""What a text says that was erased."""


class Erased(Entity, tag="erased", frozen=True):
    """What was erased for a person's sake: each text by its covering hash, photos by their own.

    It counts from when it is written, whatever is withdrawn later; ``by`` is who erased.
    """

    texts: list[str]
    photos: list[str] = field(default_factory=list)
    by: str = ""
    at: str = ""


def left_of(field: str) -> Any:
    """Return what stands in a field whose text was erased; a signature is left empty.

    Parameters
    ----------
    field : str
        Its name.
    """
    return "" if field == "signature" else ERASED

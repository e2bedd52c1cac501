"""A photo as it stands on a paper: its number on the plan, its caption, which photo it is."""

from __future__ import annotations

import msgspec


class Pictured(msgspec.Struct, frozen=True):
    """One photo of a paper."""

    number: str
    """The same on the plan."""
    digest: str
    """SHA-256 of the photo as it was taken."""
    caption: str
    about: str
    """What a reader by ear is told."""

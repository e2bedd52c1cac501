"""What a server is told before it starts, and how much it takes."""

from __future__ import annotations

import msgspec


class Limits(msgspec.Struct, frozen=True):
    """How much is taken; all judgement, wide for a crew of twenty and narrow for a flood."""

    body: int = 4 << 20
    """Bytes of a request, but for photos and imports."""
    photo: int = 64 << 20
    """Bytes of a photo."""
    pixels: int = 80_000_000
    """Pixels of a photo."""
    whole: int = 64 << 30
    """Bytes of a file with everything."""
    requests: int = 1200
    """Requests a minute and caller."""
    tries: int = 10
    """Logins a quarter of an hour and name; three times that for an address."""
    draws: int = 65_536
    """Draws of a walk."""
    walk: float = 900.0
    """How long a walk may take. [s]"""
    image: float = 20.0
    """How long a photo may be looked at. [s]"""


class Settings(msgspec.Struct, frozen=True):
    """What a server is told before it starts.

    Without ``login`` it serves one person on this machine only; :mod:`wainscot.api.serve` refuses
    any other.  ``origins`` are the addresses that its own pages come from.
    """

    origins: tuple[str, ...]
    login: bool = True
    name: str = ""
    """The fixed host name; empty on this machine only."""
    fingerprint: str = ""
    """Of the firm's certificate, for comparing by eye."""
    limits: Limits = Limits()
    walkers: int = 1
    """Processes that calculate."""

    @property
    def hosts(self) -> frozenset[str]:
        """What a request may name as its host."""
        return frozenset(one.split("://", 1)[1] for one in self.origins)

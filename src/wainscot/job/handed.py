"""Kinds of entity that end a job, bring it back, and sign a paper of it.

how_it_stands(job).state     # "open", "closed" or "called back"
"""

from __future__ import annotations

from typing import Literal

from msgspec import field

from wainscot.job.parts import Entity

OF_PAPERS = ("signature",)
"""Kinds that say something of a paper and nothing of the house: they change no version of a job."""

Because = Literal["", "animals", "smell", "seal", "damage", "other"]


class Signature(Entity, tag="signature", frozen=True):
    """Somebody's word on one paper: which, by the SHA-256 of its bytes, who, and when.

    ``paper`` is its kind, ``version`` that of the job that it tells of.  ``signature`` is what the
    finger drew: the path data of SVG, moves and lines in a box 320 wide and 120 high.
    """

    paper: str
    digest: str
    version: str
    by: str
    at: str = ""
    role: Literal["", "owner", "tenant", "neighbour", "trade", "firm"] = ""
    """For whom they sign."""
    signature: str = ""
    note: str = ""


class Closed(Entity, tag="closed", frozen=True):
    """A job that was closed: when, by whom, on what statement, and what nobody looked at.

    ``outcome`` and ``chance`` are what the all-clear said in that moment. [1]  ``not_seen`` names
    what was not looked at, as the owner was told.  The terms of the warranty stand in
    ``closing_terms``.
    """

    at: str
    by: str
    outcome: str = ""
    chance: float | None = None
    not_seen: list[str] = field(default_factory=list)
    note: str = ""


class Callback(Entity, tag="callback", frozen=True):
    """The house called again after it was closed: the job is open again, with all that it holds.

    ``because`` is what they say; each counts against the job in the firm's own figures.
    """

    at: str
    by: str = ""
    """Who took the call."""
    because: Because = ""
    note: str = ""

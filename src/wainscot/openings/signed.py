"""What the owner signed for, and what is asked beyond it.

No opening without a recorded authorisation is more than planned work; a declined one stays with the
risk that it leaves; what is asked once work has begun, beyond what was signed, is a change order
and costs only what comes on top.

Limits: whether a signature is good in law is not for this tool to say.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.job import Authorisation, Declined, Job, typed

Status = Literal["planned", "authorised", "change order", "declined"]

WORDS: dict[Status, str] = {
    "planned": "planned work, not authorised: nobody cuts",
    "authorised": "authorised",
    "change order": "change order, not authorised yet: nobody cuts",
    "declined": "declined",
}


class Signed(msgspec.Struct, frozen=True):
    """The owner's word on openings, by their ids."""

    authorised: dict[str, str] = {}
    """Who signed, and when."""
    declined: dict[str, str] = {}
    """Who declined, when and why."""

    def status(self, opening: str, begun: bool) -> Status:
        """Return how an opening stands.

        Parameters
        ----------
        opening : str
            Its id.
        begun : bool
            True where some void has been opened already.
        """
        if opening in self.declined:
            return "declined"
        if opening in self.authorised:
            return "authorised"
        return "change order" if begun and self.authorised else "planned"


def signed(job: Job) -> Signed:
    """Return the owner's word as it stands in a job.

    An opening that is both authorised and declined counts as declined, whatever the dates.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    authorised: dict[str, str] = {}
    declined: dict[str, str] = {}
    for entity in typed(job).values():
        if isinstance(entity, Authorisation):
            authorised |= dict.fromkeys(entity.openings, _said(entity.by, entity.at, ""))
        elif isinstance(entity, Declined):
            declined[entity.opening] = _said(entity.by, entity.at, entity.reason)
    return Signed(authorised, declined)


def _said(by: str, at: str, reason: str) -> str:
    return ", ".join(part for part in (by, at, reason) if part)

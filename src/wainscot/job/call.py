"""What was said in the first call and has no other home in a job."""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.job.parts import Entity


class Call(Entity, tag="call", frozen=True):
    """The first call: what was said of the house, of who lives there and of how to get in.

    Signs and sounds that were told are inspections (``grade`` told), rooms that were named are
    rooms, bait with its room is ``bait_left``, the year built stands in ``settings`` and the first
    visit is a ``visit``; none of that is written here again.  ``caller``, ``telephone`` and
    ``address`` are the only personal facts; ``people`` names nobody.  A list that holds ``none``
    was asked for and answered with no; an empty one was not answered.
    """

    at: str
    by: str = ""
    """Who took the call."""
    caller: str = ""
    telephone: str = ""
    address: str = ""
    stops: Literal["", "no", "yes"] = ""
    """Whether there was a smell of gas or sewage, smoke, sparks, or anybody hurt."""
    may_order: str = ""
    """Who may authorise work."""
    pays: str = ""
    since: str = ""
    poison: str = ""
    """Bait or traps of somebody else whose room was not said."""
    pets: str = ""
    people: list[
        Literal["none", "small children", "pregnancy", "weak lungs", "weak immune system"]
    ] = msgspec.field(default_factory=list)
    reads: str = ""
    """Languages that those who live there read."""
    built_of: str = ""
    harm: list[Literal["none", "fuses trip", "pipes drip"]] = msgspec.field(default_factory=list)
    access: str = ""
    keys: str = ""
    left_alone: str = ""
    urgency: Literal["", "today", "within two days", "next free visit"] = ""
    note: str = ""

"""Kinds of entity that close a house: seals, traps and checks, bait, readings of air, terms."""

from __future__ import annotations

from typing import Literal

from msgspec import field

from wainscot.job.parts import Entity, Place


class SealMade(Entity, tag="seal", frozen=True):
    """A closure that was made: what it closes, of what, who signed for it, and its photo.

    ``closes`` is the id of an entry point or the key of a way as the seal list gives it.  Without a
    name and a photo it does not count.  ``inspect_at`` is the date by which it is looked at again.
    """

    closes: str
    material: str
    by: str = ""
    at: str = ""
    photo: str = ""
    inspect_at: str = ""
    note: str = ""

    @property
    def counts(self) -> bool:
        """True where somebody signed for it and took its photo."""
        return bool(self.by.strip() and self.photo.strip())


class Trap(Entity, tag="trap", frozen=True):
    """A trap that stands somewhere, from when; what was found in it is told by its checks."""

    place: Place
    at: str
    type: str = "snap trap"
    note: str = ""


class TrapCheck(Entity, tag="trap_check", frozen=True):
    """One look at one trap: what it held, or that it was gone; it is set again unless said.

    ``sprung`` is sprung and empty; ``other`` holds an animal that is not sought.  A trap found
    sprung or gone caught nothing from an unknown moment on.
    """

    trap: str
    at: str
    state: Literal["set", "caught", "sprung", "other", "missing", "bait taken"]
    count: int = 1
    species: str = ""
    by: str = ""
    taken_up: bool = False
    note: str = ""


class BaitLeft(Entity, tag="bait_left", frozen=True):
    """Bait or a lure that lies where somebody has to fetch it; the label rules what it is."""

    place: Place
    what: str
    at: str = ""
    fetched_at: str = ""
    note: str = ""


class AirReading(Entity, tag="air_reading", frozen=True):
    """One reading of smell, moisture or the air itself in a room, with what it depends on.

    ``value`` is in the unit of ``of``: a meter's reading, or smell from 0 (none) to 5. [1]
    ``outside`` is the temperature outdoors [C].  ``product_days``: days since a product was used
    here that hides or makes a smell.
    """

    room: str
    at: str
    of: Literal["odour", "ammonia ppm", "moisture percent", "temperature C", "humidity percent"]
    value: float
    outside: float | None = None
    heating: bool | None = None
    windows: Literal["", "open", "shut"] = ""
    product_days: float | None = None
    by: str = ""


class ClosingTerms(Entity, tag="closing_terms", frozen=True):
    """What was agreed on closing the house, and what cannot wait; several count together.

    ``given_up``, ``twice`` and ``cannot_wait`` name voids by id, label or kind: left to the
    animals; to be closed in a second layer; where a nest may not stay near.  ``declined`` holds
    keys of ways that the owner does not want closed.  ``shared`` is a shop or a shared building.
    ``warranty`` is the firm's own text, ``warranty_until`` its last day.  ``may_learn``: the owner
    lets the firm learn rates from what was found here; not unless it is said.
    """

    given_up: list[str] = field(default_factory=list)
    twice: list[str] = field(default_factory=list)
    cannot_wait: list[str] = field(default_factory=list)
    declined: list[str] = field(default_factory=list)
    shared: bool = False
    warranty: str = ""
    warranty_until: str = ""
    may_learn: bool = False
    by: str = ""
    at: str = ""
    note: str = ""

"""What every kind of entity is made of: a fact with its basis, a place, a length as typed.

Limits: these are shapes.  What is wrong with a job is told by :func:`wainscot.job.faults`.
"""

from __future__ import annotations

from typing import Generic, Literal, TypeVar

import msgspec

T = TypeVar("T")

Basis = Literal["measured", "seen", "told", "estimated", "default"]
Grade = Literal["told", "seen", "photographed"]
Length = str | float
"""A length as typed: text with a unit, or a number in metres."""


class Fact(msgspec.Struct, Generic[T], frozen=True, forbid_unknown_fields=True):
    """A value with its basis; ``default`` means nobody knew and a stated default stands in."""

    value: T
    basis: Basis = "seen"
    source: str = ""


class Place(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Where anything was seen or done; never a void id, so that redrawing loses nothing.

    Either ``of`` names an entity (a room, a wall, a fixture, an entry point, a service, a storey)
    and ``along`` says how far from the left end of that wall or fixture; or ``at`` is a point on
    ``storey``.  ``height`` is above that storey's finished floor (negative: below it).  ``radius``
    makes it a zone (a sound heard somewhere here).  ``part`` picks among the spaces at one point:
    ``floor`` (under the boards), ``wall``, ``ceiling``, ``room``.
    ``extent`` is the length looked at along the wall or floor.
    """

    of: str = ""
    storey: str = ""
    at: tuple[Length, Length] | None = None
    along: Length | None = None
    height: Length | None = None
    extent: Length | None = None
    radius: Length | None = None
    part: Literal["", "room", "wall", "floor", "ceiling"] = ""


class Find(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One sign within an inspection.

    ``length`` is that of a dropping or the width of a burrow's mouth; ``ppm`` is what a meter of
    ammonia read. [1]  ``photos`` are the SHA-256 of its photos as they were taken one after the
    other; ``photo`` is that of a job from before a find had several, and counts as the first.
    One that is added later stands beside the inspection: :class:`wainscot.job.PhotoTaken`.
    """

    kind: str
    amount: str = ""
    freshness: Literal["fresh", "old", "unsure"] = "unsure"
    species: str = ""
    same_trace_as: str = ""
    length: Length | None = None
    ppm: float | None = None
    photo: str = ""
    photos: list[str] = msgspec.field(default_factory=list)
    note: str = ""


class Entity(
    msgspec.Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", omit_defaults=True
):
    """Shared shape of everything in a job."""


def value_of(field: T | Fact[T] | None, default: T) -> tuple[T, Basis]:
    """Return a field's value and its basis, whichever way it was written.

    Parameters
    ----------
    field : object
        A bare value, a Fact, or None where nothing was said.
    default : object
        Stands in where nothing was said; its basis is ``default``.
    """
    if field is None:
        return default, "default"
    if isinstance(field, Fact):
        return field.value, field.basis
    return field, "seen"

"""A paper plan that lies under the drawing of a storey."""

from __future__ import annotations

import msgspec

from wainscot.job.parts import Entity, Length


class KnownLength(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Two points of a picture, from its upper left corner, and how far apart they are as typed.

    ``start`` and ``stop`` are to the right and down. [px]
    """

    start: tuple[float, float]
    stop: tuple[float, float]
    length: Length


class PaperPlan(Entity, tag="paper_plan", frozen=True):
    """A picture of a plan under a storey's drawing, to draw over; nothing is calculated from it.

    ``image`` is the SHA-256 of its bytes, kept with the photos; ``size`` its width and height. [px]
    ``corners`` says where its upper left, upper right, lower right and lower left corner lie on
    the plan, which fixes how it is straightened.  ``known`` is the length that it was scaled by;
    without it the scale is a guess.
    """

    storey: str
    image: str
    size: tuple[int, int]
    corners: list[tuple[Length, Length]]
    known: KnownLength | None = None

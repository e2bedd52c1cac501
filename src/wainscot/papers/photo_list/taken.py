"""Every photo that a job names, with its number, what it shows, where, when and by whom."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import msgspec

from wainscot.job import (
    Inspection,
    Job,
    PaperPlan,
    PhotoTaken,
    Place,
    ProductLabel,
    SealMade,
    typed,
)

Sort = Literal["find", "seal", "label"]
SORTS: tuple[Sort, ...] = ("find", "seal", "label")
"""What a photo is of: a sign that was found, a seal that was made, the label of a product."""


class Taken(msgspec.Struct, frozen=True):
    """One photo as the job tells of it."""

    number: int
    """The same on every paper and plan of the job."""
    digest: str
    """SHA-256 of the photo as it was taken."""
    sort: Sort
    entity: str
    """Id of what it belongs to."""
    find: int = 0
    """Which find of an inspection, from 0."""
    at: str = ""
    by: str = ""
    place: Place | None = None


def taken(job: Job) -> tuple[Taken, ...]:
    """Return the photos of a job, numbered by sort and time.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    found = sorted(_named(job), key=lambda one: (SORTS.index(one.sort), one.at, one.entity))
    return tuple(msgspec.structs.replace(one, number=n) for n, one in enumerate(found, 1))


def hashes_of(job: Job) -> tuple[str, ...]:
    """Return the SHA-256 of every picture that a job names, paper plans too, each once.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    entities = typed(job).values()
    plans = {one.image for one in entities if isinstance(one, PaperPlan)}
    # One whose inspection was taken out stands on no paper, and is not lost.
    alone = {one.photo for one in entities if isinstance(one, PhotoTaken)}
    return tuple(sorted(({one.digest for one in _named(job)} | plans | alone) - {""}))


def _named(job: Job) -> Iterator[Taken]:
    entities = typed(job)
    added = sorted(
        (one for one in entities.values() if isinstance(one, PhotoTaken)),
        key=lambda one: (one.at, one.photo),
    )
    for key, one in entities.items():
        if isinstance(one, Inspection):
            for n, find in enumerate(one.finds):
                mine = [each.photo for each in added if (each.of, each.find) == (key, n)]
                for digest in dict.fromkeys((find.photo, *find.photos, *mine)):
                    if digest:
                        yield Taken(0, digest, "find", key, n, one.at, one.by, one.place)
        elif isinstance(one, SealMade) and one.photo.strip():
            yield Taken(0, one.photo, "seal", key, 0, one.at, one.by, Place(of=one.closes))
        elif isinstance(one, ProductLabel) and one.photo:
            yield Taken(0, one.photo, "label", key, 0, one.at, one.by)

"""A photo of a find, as a thing of its own."""

from __future__ import annotations

from wainscot.job.parts import Entity


class PhotoTaken(Entity, tag="photo", frozen=True):
    """One photo of what an inspection found.

    It stands beside the inspection, not in it, so that two devices may add photos to one find at
    the same time: each adds a thing, neither changes what the other changed.  ``of`` is the id of
    the inspection, ``find`` which of its finds, from 0; ``photo`` is the SHA-256 of the bytes.
    ``of`` may name an inspection that somebody took out meanwhile: then the photo is kept and not
    shown.  Who took it is not told, so that erasing a person leaves the firm its photos.
    """

    of: str
    photo: str
    find: int = 0
    at: str = ""

"""The photos of a job made fit for paper, and in words those that are not at hand.

Limits: the bytes are decoded in this process: who takes photos from strangers has looked at them in
a bounded one before (the office machine does).
"""

from __future__ import annotations

import hashlib
import warnings
from collections.abc import Callable

from wainscot.drawing.dxf import MissingPackageError
from wainscot.errors import WainscotError
from wainscot.job import Job
from wainscot.papers.answers import Photo
from wainscot.papers.photo_list.taken import taken
from wainscot.papers.photos import EDGE, prepared


class PhotoError(WainscotError):
    """Bytes that no paper can show."""


def photo_of(original: bytes, edge: int = EDGE) -> Photo:
    """Return a photo upright and scaled, without anything about place and device.

    Parameters
    ----------
    original : bytes
        The photo as it was taken.
    edge : int
        Longer edge at most; a smaller photo stays as large as it is. [px]

    Raises
    ------
    PhotoError
        If it is no whole photo, or has too many pixels.
    MissingPackageError
        If Pillow is not installed.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a broken note beside the pixels is no matter
            made = prepared(original, edge)
    except ImportError:
        raise MissingPackageError("pillow", "a photo on a paper") from None
    if made is None:
        raise PhotoError("the bytes are no whole photo, or it has too many pixels; take it again")
    return made


def photos_of(
    job: Job, bytes_of: Callable[[str], bytes | None]
) -> tuple[dict[str, Photo], tuple[str, ...]]:
    """Return the photos of a job that are at hand, and in words which are not.

    Parameters
    ----------
    job : Job
        A job without faults.
    bytes_of : callable
        The bytes of a photo by its SHA-256, or None where they are not there.

    Raises
    ------
    MissingPackageError
        If there is a photo and Pillow is not installed.
    """
    held: dict[str, Photo] = {}
    lost: dict[str, str] = {}
    for one in taken(job):
        if one.digest in held or one.digest in lost:
            continue
        original = bytes_of(one.digest)
        name = f"photo {one.number} ({one.digest[:80]})"
        if original is None:
            lost[one.digest] = f"{name} is not here; papers go without it"
        elif hashlib.sha256(original).hexdigest() != one.digest:
            lost[one.digest] = f"{name} is not as it was taken; papers go without it"
        else:
            try:
                held[one.digest] = photo_of(original)
            except PhotoError as error:
                lost[one.digest] = f"{name}: {error}; papers go without it"
    return held, tuple(lost.values())

"""Photos of a paper: upright, scaled, without place and device; numbered as they stand on it.

    photo = prepared(data)              # Photo, or None where it is none
    numbered(known, [(digest, "drain cap")])

A photo is made anew from its pixels alone, so that nothing of what a camera writes beside them goes
along.

Limits: JPEG, PNG and WebP.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterable

from wainscot.papers.answers import Answers, Photo
from wainscot.papers.pictured import Pictured

EDGE = 1000
"""Longer edge on paper: 80 mm at 300 points to an inch. [px]"""
MOST = 80_000_000
"""Pixels beyond which a photo is not unpacked. [1]"""


def prepared(data: bytes, edge: int = EDGE) -> Photo | None:
    """Return a photo as it leaves the house; None where these bytes are no whole photo.

    Parameters
    ----------
    data : bytes
        As it was taken.
    edge : int
        Longer edge. [px]
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as taken:
            if taken.width * taken.height > MOST:
                return None
            taken.draft("RGB", (edge, edge))  # a JPEG is unpacked at a smaller size
            upright = ImageOps.exif_transpose(taken).convert("RGB")
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, EOFError,
            Image.DecompressionBombError):  # fmt: skip
        return None
    upright.thumbnail((edge, edge))
    out = io.BytesIO()
    bare = Image.frombytes("RGB", upright.size, upright.tobytes())
    bare.save(out, "JPEG", quality=82)
    return Photo(hashlib.sha256(data).hexdigest(), out.getvalue(), *bare.size)


def numbered(
    known: Answers, wanted: Iterable[tuple[str, str]], first: int = 1
) -> tuple[Pictured, ...]:
    """Return the photos that are at hand, each once, with number and caption.

    Parameters
    ----------
    known : Answers
        With the photos.
    wanted : iterable of (str, str)
        SHA-256 of the photo as it was taken, and its caption.
    first : int
        Number of the first. [1]
    """
    captions: dict[str, str] = {}
    for digest, caption in wanted:
        if digest in known.photos:
            captions.setdefault(digest, caption)
    return tuple(
        Pictured(str(n), digest, caption, caption)
        for n, (digest, caption) in enumerate(captions.items(), first)
    )

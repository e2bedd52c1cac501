"""One photo made fit to leave the house: upright, scaled, without place and device.

    photo = prepared(data)              # Photo, or None where it is none

A photo is made anew from its pixels alone, so that nothing of what a camera writes beside them goes
along.

Limits: JPEG, PNG and WebP.
"""

from __future__ import annotations

import hashlib
import io

from wainscot.papers.answers import Photo
from wainscot.papers.upright import upright

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
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as taken:
            if taken.width * taken.height > MOST:
                return None
            taken.draft("RGB", (edge, edge))  # a JPEG is unpacked at a smaller size
            whole = upright(taken).convert("RGB")
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, EOFError,
            Image.DecompressionBombError):  # fmt: skip
        return None
    whole.thumbnail((edge, edge))
    out = io.BytesIO()
    bare = Image.frombytes("RGB", whole.size, whole.tobytes())
    bare.save(out, "JPEG", quality=82)
    return Photo(hashlib.sha256(data).hexdigest(), out.getvalue(), *bare.size)

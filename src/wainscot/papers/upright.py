"""A photo turned as its camera was held: the note of it is read and none is written again.

    small = upright(taken)

Pillow's own turning writes all notes of a photo anew and stops where one of them is broken, so that
a photo with whole pixels could not be shown.

Limits: the note of EXIF, or that of XMP where EXIF has none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

ORIENTATION = 0x0112
"""Of EXIF 2.32, 4.6.4 A: 1 to 8, how the camera was held."""


def upright(taken: Image) -> Image:
    """Return a photo as it is looked at.

    Parameters
    ----------
    taken : Image
        An opened photo.
    """
    from PIL.Image import Transpose

    turns = (
        Transpose.FLIP_LEFT_RIGHT, Transpose.ROTATE_180, Transpose.FLIP_TOP_BOTTOM,
        Transpose.TRANSPOSE, Transpose.ROTATE_270, Transpose.TRANSVERSE, Transpose.ROTATE_90,
    )  # fmt: skip
    turn = dict(enumerate(turns, 2)).get(taken.getexif().get(ORIENTATION, 1))
    return taken if turn is None else taken.transpose(turn)

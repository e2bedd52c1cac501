"""What a photo as it was taken says beside its picture: where, with which device.

    told = beside_picture(data)         # Beside(place=True, device=False)

Limits: looks at EXIF and at XMP; a maker's own fields are not read, so "no" means "not found".
"""

from __future__ import annotations

import io

import msgspec

_GPS = 0x8825
_DEVICE = (0x010F, 0x0110, 0xA430, 0xA431)  # maker, model, owner, number of the body


class Beside(msgspec.Struct, frozen=True):
    """Whether a photo says where it was taken, and with what or by whom."""

    place: bool
    device: bool


def beside_picture(data: bytes) -> Beside:
    """Return what was found beside a picture.

    Parameters
    ----------
    data : bytes
        A photo as it was taken; of bytes that are none nothing is found but by their words.
    """
    from PIL import Image, UnidentifiedImageError

    place, device = b"GPSLatitude" in data, b"tiff:Model" in data
    try:
        with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as taken:
            exif = taken.getexif()
            fields = {**exif, **exif.get_ifd(0x8769)}
            place = place or bool(exif.get_ifd(_GPS))
            device = device or any(fields.get(one) for one in _DEVICE)
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        pass
    return Beside(place, device)

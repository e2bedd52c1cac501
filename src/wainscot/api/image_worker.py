"""Looks at one photo, in a process of its own that can open nothing and reach nobody.

Run as a program: the photo comes on standard input, the answer goes to standard output as one line
of JSON and, where a small copy was asked for, its bytes.  Before the first byte is read the process
gives up everything: memory and time are bounded, no file or socket can be opened any more, no
process started, and where it began as root it becomes nobody.  A fault in a decoder then costs one
process.

    python image_worker.py PIXELS SECONDS EDGE      (EDGE 0: no small copy)

Limits: bounds are those of POSIX; on Windows only the limit of pixels and the time hold.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import sys
import warnings
from typing import Any

FORMATS = ("JPEG", "PNG", "WEBP")
MEMORY = 1 << 30
"""Bytes of address space (judgement: 80 million pixels of four bytes, twice, and the program)."""


def give_up(seconds: int) -> None:
    """Bound this process for good.

    Parameters
    ----------
    seconds : int
        Time of the processor.
    """
    try:
        import resource
    except ImportError:
        return
    if os.getuid() == 0:
        os.setgroups([])
        os.setresgid(65534, 65534, 65534)
        os.setresuid(65534, 65534, 65534)
    for kind, most in (
        (resource.RLIMIT_AS, MEMORY),
        (resource.RLIMIT_CPU, seconds),
        (resource.RLIMIT_FSIZE, 64 << 20),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_NPROC, 0),
        (resource.RLIMIT_NOFILE, 3),  # those that are open; none can be added
    ):
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(kind, (most, most))


def looked(data: bytes, pixels: int, edge: int) -> tuple[dict[str, Any], bytes]:
    """Return what a photo is, and a small copy without anything about place and device.

    Parameters
    ----------
    data : bytes
        The photo as it came.
    pixels : int
        Most pixels.
    edge : int
        Longer edge of the small copy; 0 for none. [px]
    """
    from PIL import Image, UnidentifiedImageError

    from wainscot.papers.upright import upright

    # The first number of a photo's head is believed only as far as this.
    Image.MAX_IMAGE_PIXELS = None
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as photo:
            about: dict[str, Any] = {
                "format": photo.format, "width": photo.width, "height": photo.height
            }  # fmt: skip
            if photo.width * photo.height > pixels:
                return {"fault": "too-many-pixels"}, b""
            # All bytes are read, but a JPEG is unpacked at a smaller size where that will do.
            photo.draft("RGB", (edge or 64, edge or 64))
            photo.load()
            if not edge:
                return about, b""
            small = upright(photo).convert("RGB")
            small.thumbnail((edge, edge))
            out = io.BytesIO()
            # Made from pixels alone, so nothing of the original's notes goes along.
            Image.frombytes("RGB", small.size, small.tobytes()).save(out, "JPEG", quality=80)
            return about, out.getvalue()
    except UnidentifiedImageError:
        return {"fault": "wrong-media"}, b""
    except (OSError, SyntaxError, ValueError, MemoryError, EOFError, Image.DecompressionBombError):
        return {"fault": "no-photo"}, b""


def warm_up() -> None:
    """Look at a photo of each kind, so that nothing is left to load when nothing can be opened."""
    from PIL import Image

    for kind in FORMATS:
        out = io.BytesIO()
        Image.new("RGB", (16, 16)).save(out, kind)
        looked(out.getvalue(), 1 << 20, 8)
    looked(b"", 1, 0)


def main() -> None:
    """Read, look, answer."""
    pixels, seconds, edge = (int(one) for one in sys.argv[1:4])
    warnings.simplefilter("ignore")
    warm_up()
    give_up(seconds)
    about, small = looked(sys.stdin.buffer.read(), pixels, edge)
    sys.stdout.buffer.write(json.dumps(about).encode() + b"\n" + small)


if __name__ == "__main__":
    main()

"""Photos: 100 of a telephone made fit for paper, and a report of 30 pages that shows them."""

from __future__ import annotations

import hashlib
import io
import multiprocessing
import resource
import time
from pathlib import Path
from typing import Any

import msgspec
import numpy as np

from bench.table import Row, median_seconds
from wainscot.papers import kinds
from wainscot.papers.answers import Photo
from wainscot.papers.photo_list import photo_of
from wainscot.papers.pictured import Pictured
from wainscot.papers.printing import Head, Sheet, as_pdf

PHOTOS, PAGES = 100, 30
WIDTH, HEIGHT = 4032, 3024
"""Of a photo with 12 million pixels, as telephones take. [px]"""


class Page(msgspec.Struct, frozen=True):
    """Four photos, or words alone."""

    words: tuple[str, ...]
    photos: tuple[Pictured, ...] = ()


class View(msgspec.Struct, frozen=True):
    """A report."""

    pages: tuple[Page, ...]


class Report(kinds.Paper):
    """A paper that only this bench has: five pages of words, then four photos on each."""

    def words(self, language: str) -> dict[str, Any]:
        return kinds.shared_words(language)

    def page(self) -> str:
        return """#show: paper
#for (n, one) in view.pages.enumerate() {
  if n > 0 { pagebreak() }
  points(one.words)
  photos(one.photos)
}
"""


def original(patch: int) -> bytes:
    """Return a photo as a telephone takes it, held sideways: grain on patches of colour.

    Parameters
    ----------
    patch : int
        Size of the patches; the smaller, the more detail and bytes. [px]
    """
    from PIL import Image

    draws = np.random.default_rng(1)
    small = draws.integers(0, 255, (HEIGHT // patch, WIDTH // patch, 3), dtype=np.uint8)
    picture = Image.fromarray(small).resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC)
    grain = draws.normal(0, 6, (HEIGHT, WIDTH, 1))
    pixels = np.clip(np.asarray(picture) + grain, 0, 255).astype(np.uint8)
    exif = Image.Exif()
    exif[274] = 6
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=90, exif=exif)
    return out.getvalue()


def report(jpeg: Photo) -> Sheet:
    """Return the report; each photo has bytes of its own, so that none is shared."""
    photos = {}
    for n in range(PHOTOS):
        comment = b"\xff\xfe\x00\x06" + n.to_bytes(4, "big")
        own = jpeg.jpeg[:2] + comment + jpeg.jpeg[2:]
        digest = hashlib.sha256(own).hexdigest()
        photos[digest] = msgspec.structs.replace(jpeg, digest=digest, jpeg=own)
    shown = [Pictured(str(n), digest, f"droppings, many; under the bath; day {n}", f"Photo {n}")
             for n, digest in enumerate(photos, 1)]  # fmt: skip
    words = tuple(f"Line {n} of what was found and done in the house." for n in range(24))
    pages = [Page(words) for _ in range(PAGES - PHOTOS // 4)]
    pages += [Page((), tuple(shown[n : n + 4])) for n in range(0, PHOTOS, 4)]
    head = Head("Report", "Bench", "job_bench", "0" * 10, "", "0", "", "", "en", "all", "none")
    return Sheet(
        "bench-report",
        "a4",
        head,
        kinds.shared_words("en"),
        View(tuple(pages)),
        photos,
        Report("bench_report").page(),
    )


def _peak(jpeg: Photo) -> tuple[float, float, int, int]:
    """Return wall and processor seconds, bytes of the PDF, peak memory [MB] of this process."""
    kinds.papers()["bench-report"] = Report("bench_report")
    start, busy = time.perf_counter(), time.process_time()
    made = as_pdf(report(jpeg))
    return time.perf_counter() - start, time.process_time() - busy, len(made), _memory()


def _memory() -> int:
    """Return the most memory that this process held [MB]; Linux counts a parent's in ru_maxrss."""
    status = Path("/proc/self/status")
    if status.is_file():
        line = next(one for one in status.read_text().splitlines() if one.startswith("VmHWM:"))
        return int(line.split()[1]) // 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // (1024 * 1024)


def rows() -> list[Row]:
    """Return photos of usual and of finest detail, each with the first report of a process."""
    return [row for name, patch in (("usual", 63), ("finest", 14)) for row in _of(name, patch)]


def _of(detail: str, patch: int) -> list[Row]:
    telephone = original(patch)
    clean = photo_of(telephone)
    one = median_seconds(lambda: photo_of(telephone), 3)
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        took, busy, size, most = pool.apply(_peak, (clean,))
    mega, kilo = f"{len(telephone) / 1e6:.1f} MB", f"{len(clean.jpeg) // 1000} kB"
    held = f"PDF of {size / 1e6:.0f} MB; peak {most} MB, to reach 500 MB"
    return [
        Row(f"one photo of 12 million pixels, {detail} detail, made fit for paper", one, None,
            f"{mega} to {kilo}"),
        Row(f"report of {PAGES} pages with {PHOTOS} such photos", took, 2.0,
            f"{busy:.2f} s of processor; {held}"),
    ]  # fmt: skip

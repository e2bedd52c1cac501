"""Asks a bounded process what a photo is; see :mod:`wainscot.api.image_worker`."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from collections import OrderedDict
from pathlib import Path

from wainscot.api import image_worker
from wainscot.api.problems import RefusedError
from wainscot.api.settings import Limits

EDGES = (160, 320, 640, 1280)
"""Longer edges of small copies. [px]"""

_KEPT = 24 << 20  # bytes of small copies that are kept


class Images:
    """Looks at photos, two at a time.

    Parameters
    ----------
    limits : Limits
        How many pixels and how long.
    """

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._at_once = threading.Semaphore(2)
        self._small: OrderedDict[tuple[str, int], bytes] = OrderedDict()
        self._lock = threading.Lock()

    def check(self, path: Path) -> None:
        """Refuse a file that is no whole photo.

        Raises
        ------
        RefusedError
            Says why.
        """
        self._run(path, 0)

    def small(self, digest: str, path: Path, edge: int) -> bytes:
        """Return a small copy (JPEG), upright and without anything about place and device.

        Parameters
        ----------
        digest : str
            SHA-256 of the photo.
        path : Path
            Where it lies.
        edge : int
            Longer edge, one of :data:`EDGES`. [px]

        Raises
        ------
        RefusedError
            If it is no whole photo.
        """
        key = digest, edge
        with self._lock:
            kept = self._small.get(key)
        if kept is None:
            kept = self._run(path, edge)
            with self._lock:
                self._small[key] = kept
                while sum(map(len, self._small.values())) > _KEPT:
                    self._small.popitem(last=False)
        return kept

    def _run(self, path: Path, edge: int) -> bytes:
        limits = self._limits
        command = [sys.executable, "-I", str(image_worker.__file__), str(limits.pixels),
                   str(max(1, int(limits.image))), str(edge)]  # fmt: skip
        try:
            with self._at_once, path.open("rb") as photo:
                done = subprocess.run(
                    command, stdin=photo, capture_output=True, timeout=limits.image,
                    env={"LANG": "C.UTF-8"}, check=True,
                )  # fmt: skip
            line, _, small = done.stdout.partition(b"\n")
            about = json.loads(line)
        except (subprocess.SubprocessError, ValueError):
            raise RefusedError("no-photo") from None
        if fault := about.get("fault"):
            raise RefusedError(fault)
        return small

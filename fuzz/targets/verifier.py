"""Both verifiers on a file with everything that was changed, held against a head on a paper."""

from __future__ import annotations

import contextlib
import io
import json
import tempfile
import zipfile
from functools import cache
from pathlib import Path
from typing import Any

from fuzz.given import file_of, packed, record, seeds_of_record
from wainscot.errors import WainscotError
from wainscot.store import alone, check_file


def seeds() -> list[bytes]:
    """Return the members of a file with everything, each to be changed in turn."""
    return seeds_of_record()


def one(data: bytes) -> None:
    """Ask both; whichever calls it whole must have the events that the head was given out for."""
    head = record()[1]
    with tempfile.TemporaryDirectory(prefix="wainscot-") as place:
        file = Path(place) / "all.zip"
        file.write_bytes(file_of(data))
        if _alone(file, head.size, head.root):
            assert _holds(file)
        with contextlib.suppress(WainscotError):
            if not [one for one in check_file(file, [head]) if one.state == "bad"]:
                assert _holds(file)


def _alone(file: Path, size: int, root: str) -> bool:
    """Whether the verifier that stands alone calls it whole; what it cannot read it says so of."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(Exception):
        return alone.main([str(file), str(size), root]) == 0
    return False


def _holds(file: Path) -> bool:
    return _told().items() <= _events(file).items()


@cache
def _told() -> dict[str, Any]:
    with tempfile.TemporaryDirectory(prefix="wainscot-") as place:
        file = Path(place) / "all.zip"
        file.write_bytes(packed({}))
        return _events(file)


def _events(file: Path) -> dict[str, Any]:
    """Return the events by id, without what stands beside them."""
    with zipfile.ZipFile(file) as packed_file:
        found = [json.loads(line) for line in packed_file.read("events.jsonl").splitlines()]
    return {one["id"]: {**one, "beside": None} for one in found}

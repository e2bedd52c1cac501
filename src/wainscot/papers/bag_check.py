"""Whether a package is whole: its bytes against its own lists (BagIt, RFC 8493), in plain words.

    faults(opened)                      # () where every byte is as it was packed

Nothing is unpacked.  A name that would lead out of its folder, a link, or a name twice is refused
before anything is read.

Limits: the hashes find damage, and whoever changes a file without its hash; who can write a whole
new bag can write new hashes too.
"""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
import zlib
from collections.abc import Iterator
from typing import BinaryIO

from wainscot.errors import printable
from wainscot.record import RecordError, event_of

EVENTS = "data/record/events.jsonl"
DECLARED = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
LISTED, TAGS, INFO, DECLARATION = (
    "manifest-sha256.txt", "tagmanifest-sha256.txt", "bag-info.txt", "bagit.txt",
)  # fmt: skip
_NAME = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9._-]{0,99}(/[A-Za-z0-9_-][A-Za-z0-9._-]{0,99}){0,7}")
_DEVICES = re.compile(r"(?i)(con|prn|aux|nul|com\d|lpt\d)(\..*)?")
_LINE = re.compile(r"([0-9a-fA-F]{64})[ \t]+\*?([^\r\n]+)")
_CHUNK = 1 << 20
_LARGEST_TAG = 16 << 20  # some 100,000 files
_LARGEST = 16 << 30
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, ValueError,
           RuntimeError, KeyError)  # fmt: skip


def good_name(name: str) -> bool:
    """Whether a name is good on every machine: plain letters, never out of its folder.

    Parameters
    ----------
    name : str
        Parts with ``/`` between them.
    """
    if not _NAME.fullmatch(name):
        return False
    return not any(_DEVICES.fullmatch(part) or part.endswith(".") for part in name.split("/"))


def faults(opened: BinaryIO) -> tuple[str, ...]:
    """Return in plain words what is wrong with a bag; nothing where it is whole.

    Parameters
    ----------
    opened : binary stream
        The archive; nothing of it is written anywhere.
    """
    try:
        with zipfile.ZipFile(opened) as packed:
            return tuple(dict.fromkeys(_faults(packed)))
    except _BROKEN:
        return ("this is no package, or its table of contents is damaged; ask for it again",)


def head_faults(opened: BinaryIO) -> tuple[str, ...]:
    """Return in plain words where events and head of a bag without faults do not fit together.

    Parameters
    ----------
    opened : binary stream
        The archive.
    """
    with zipfile.ZipFile(opened) as packed:
        named = {one.filename.partition("/")[2]: one for one in packed.infolist()}
        lines = packed.read(named[EVENTS]).splitlines() if EVENTS in named else []
        info = packed.read(named[INFO]).decode().splitlines()
    try:
        ids = sorted(event_of(json.loads(line)).id for line in lines)
    except (RecordError, ValueError, RecursionError):
        return (f"a line of {EVENTS} is no event, or not the one that its id names",)
    head = hashlib.sha256("".join(f"{one}\n" for one in ids).encode()).hexdigest() if ids else ""
    said = next((line.partition(": ")[2] for line in info if line.startswith("Record-Head: ")), "")
    return () if said == head else ("the head of the record is not that of its events",)


def _faults(packed: zipfile.ZipFile) -> Iterator[str]:
    members = [one for one in packed.infolist() if not one.is_dir()]
    if bad := [one.filename for one in packed.infolist() if not _safe(one)]:
        yield f"a name in it would lead out of its folder: {printable(bad[0][:80])}; unpack nothing"
        return
    names = [one.filename for one in members]
    if len({name.lower() for name in names}) < len(names):
        yield "a file is in it twice; nobody can say which counts"
        return
    if len({name.partition("/")[0] for name in names}) != 1 or not all("/" in n for n in names):
        yield "a package has one folder, and everything in that; this is another kind of archive"
        return
    if sum(one.file_size for one in members) > _LARGEST:
        yield f"it says it holds more than {_LARGEST >> 30} GB; it was not read"
        return
    yield from _of_members(packed, {one.filename.partition("/")[2]: one for one in members})


def _safe(about: zipfile.ZipInfo) -> bool:
    kind = about.external_attr >> 28
    return good_name(about.filename.rstrip("/")) and kind in (0, 4, 8) and not about.flag_bits & 1


def _of_members(packed: zipfile.ZipFile, members: dict[str, zipfile.ZipInfo]) -> Iterator[str]:
    needed = (DECLARATION, LISTED, TAGS, INFO)
    if missing := [name for name in needed if name not in members]:
        yield f"{', '.join(missing)} is missing, so it cannot be checked"
        return
    text = {name: _text(packed, members[name]) for name in needed}
    if unread := [name for name, content in text.items() if content is None]:
        yield f"{', '.join(unread)} is damaged; ask for the package again"
        return
    if text[DECLARATION] != DECLARED.decode():
        yield f"{DECLARATION} does not say what a package says"
    payload, tags = _lines(text[LISTED] or ""), _lines(text[TAGS] or "")
    if payload is None or tags is None:
        yield "a line of the lists of hashes is not as it was written; ask for the package again"
        return
    counted = {name for name in members if name.startswith("data/")}
    yield from _against(packed, members, payload, counted)
    yield from _against(packed, members, tags, members.keys() - counted - {TAGS})
    size = sum(members[name].file_size for name in counted)
    if f"Payload-Oxum: {size}.{len(counted)}" not in (text[INFO] or "").splitlines():
        yield f"{INFO} tells another number of files or bytes than there are"


def _against(
    packed: zipfile.ZipFile, members: dict[str, zipfile.ZipInfo], listed: dict[str, str],
    there: set[str],
) -> Iterator[str]:  # fmt: skip
    for name in sorted(listed.keys() - there):
        yield f"{printable(name[:80])} is listed and is not there"
    for name in sorted(there - listed.keys()):
        yield f"{name} is there and is not listed: somebody put it in later"
    for name in sorted(there & listed.keys()):
        if _digest(packed, members[name]) != listed[name]:
            yield f"{name} is not as it was packed: it was changed or damaged"


def _lines(text: str) -> dict[str, str] | None:
    found: dict[str, str] = {}
    for line in text.splitlines():
        told = _LINE.fullmatch(line)
        if told is None or told[2] in found:
            return None
        found[told[2]] = told[1].lower()
    return found


def _text(packed: zipfile.ZipFile, about: zipfile.ZipInfo) -> str | None:
    if about.file_size > _LARGEST_TAG:
        return None
    try:
        return packed.read(about).decode()
    except _BROKEN:
        return None


def _digest(packed: zipfile.ZipFile, about: zipfile.ZipInfo) -> str:
    """Return the SHA-256 of a member; empty where its bytes cannot be read."""
    hashed = hashlib.sha256()
    try:
        with packed.open(about) as stream:
            while chunk := stream.read(_CHUNK):
                hashed.update(chunk)
    except _BROKEN:
        return ""
    return hashed.hexdigest()

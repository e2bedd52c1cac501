"""Many things in one file (ZIP), each with its SHA-256, so that any change in it is found.

``manifest.json`` stands last and lists every member with size and hash.  Beside the file lies
``NAME.sha256`` with the hash of the whole, as ``sha256sum`` writes it.

Limits: ZIP as such; anybody can make a new archive with new hashes.  The hashes find damage, not
forgery.
"""

from __future__ import annotations

import hashlib
import re
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Literal

import msgspec

from wainscot.store.blobs import digest_of, file_chunks
from wainscot.store.durable import CHUNK, Disk, full
from wainscot.store.faults import DamagedError

MANIFEST = "manifest.json"
_LARGEST_MANIFEST = 64 << 20  # some 350,000 photos
_NAME = re.compile(r"(?:record\.sqlite|[a-z]+\.jsonl|verify\.py|blobs/[0-9a-f]{64})")
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, ValueError,
           RuntimeError, KeyError)  # fmt: skip


class Member(msgspec.Struct, frozen=True):
    """Size and SHA-256 of one member."""

    size: int
    sha256: str


class Manifest(msgspec.Struct, frozen=True):
    """What an archive holds.

    ``head`` names the set of its events and ``blob_head`` that of its photos; ``events_through``
    and ``blobs_through`` are the last numbers of receipt; ``tables`` counts the rows of each table.
    """

    form: Literal[1]
    kind: Literal["backup", "everything"]
    taken: str
    head: str
    blob_head: str
    members: dict[str, Member]
    events: int
    blobs: int
    events_through: int = 0
    blobs_through: int = 0
    tables: dict[str, int] = {}


Part = tuple[str, Iterable[bytes]]


def write_archive(
    path: Path,
    parts: Iterable[Part],
    manifest: Callable[[dict[str, Member]], Manifest],
    disk: Disk,
    read_back: Callable[[Path], None],
) -> str:
    """Write an archive whole or not at all, and return the SHA-256 of the file.

    Parameters
    ----------
    path : Path
        File; its folder is there.
    parts : iterable of (str, iterable of bytes)
        Members by name.
    manifest : callable
        Makes the manifest from the members that were written.
    disk : Disk
        Acts on the disk.
    read_back : callable
        Looks at the written file before it gets its name, and raises if it is not good.

    Raises
    ------
    DiskFullError
        If there is no room; then nothing is left of it.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        with zipfile.ZipFile(part, "w", allowZip64=True) as packed:
            members = {name: _pack(packed, name, chunks) for name, chunks in parts}
            text = msgspec.json.format(msgspec.json.encode(manifest(members)), indent=1)
            _pack(packed, MANIFEST, [text])
        digest = digest_of(file_chunks(part))
        read_back(part)
        disk.seal(part, path)
    except OSError as error:
        disk.remove(part)
        raise full(error) from None
    except BaseException:
        disk.remove(part)
        raise
    disk.write(sidecar(path), [f"{digest}  {path.name}\n".encode()])
    return digest


def sidecar(path: Path) -> Path:
    """Return the file beside an archive that holds its hash."""
    return path.with_name(f"{path.name}.sha256")


def _pack(packed: zipfile.ZipFile, name: str, chunks: Iterable[bytes]) -> Member:
    about = zipfile.ZipInfo(name)
    stored = name.startswith("blobs/")  # photos are packed already
    about.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
    size = 0

    def counted() -> Iterator[bytes]:
        nonlocal size
        for chunk in chunks:
            stream.write(chunk)
            size += len(chunk)
            yield chunk

    with packed.open(about, "w", force_zip64=True) as stream:
        digest = digest_of(counted())
    return Member(size, digest)


class Archive:
    """An archive that is read.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    DamagedError
        If it is no archive or its list cannot be read.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            with zipfile.ZipFile(path) as packed:
                about = packed.getinfo(MANIFEST)
                if about.file_size > _LARGEST_MANIFEST:
                    raise ValueError("the list of members is too long")
                # Straight to its shape, so that a list of something else takes no memory.
                self.manifest = msgspec.json.decode(packed.read(about), type=Manifest)
                names = packed.namelist()
        except FileNotFoundError:
            raise
        except _BROKEN as error:
            raise DamagedError(f"{path.name} cannot be read as an archive ({error})") from None
        listed = [*self.manifest.members, MANIFEST]
        if sorted(names) != sorted(listed) or not all(map(_NAME.fullmatch, listed[:-1])):
            raise DamagedError(f"{path.name} does not hold what its list says")

    @property
    def size(self) -> int:
        """Bytes of all members unpacked."""
        return sum(one.size for one in self.manifest.members.values())

    def read(self, name: str) -> Iterator[bytes]:
        """Give a member in chunks, and raise at its end if it is not the one that was packed.

        Raises
        ------
        DamagedError
            If bytes are wrong, missing or too many.
        """
        wanted = self.manifest.members[name]
        size = 0

        def counted() -> Iterator[bytes]:
            nonlocal size
            with zipfile.ZipFile(self.path) as packed, packed.open(name) as stream:
                while chunk := stream.read(CHUNK):
                    size += len(chunk)
                    if size > wanted.size:
                        raise DamagedError(f"{name} in {self.path.name} is longer than listed")
                    yield chunk

        return self._checked(name, counted(), wanted)

    def _checked(self, name: str, chunks: Iterator[bytes], wanted: Member) -> Iterator[bytes]:
        hashed = hashlib.sha256()
        try:
            for chunk in chunks:
                hashed.update(chunk)
                yield chunk
        except _BROKEN as error:
            raise DamagedError(f"{name} in {self.path.name} is damaged ({error})") from None
        if hashed.hexdigest() != wanted.sha256:
            raise DamagedError(f"{name} in {self.path.name} is damaged (another hash)")

    def check(self) -> None:
        """Read every member.

        Raises
        ------
        DamagedError
            At the first that is not the one that was packed.
        """
        for name in self.manifest.members:
            for _ in self.read(name):
                pass


def check_whole(path: Path, digest: str) -> None:
    """Compare a whole file with its hash.

    Raises
    ------
    DamagedError
        If it is another.
    """
    if digest_of(file_chunks(path)) != digest:
        raise DamagedError(f"{path.name} is damaged: the file has another hash than when written")


def noted_digest(path: Path) -> str:
    """Return the hash that lies beside an archive; empty where there is none that can be read."""
    try:
        found = sidecar(path).read_text("ascii").split()
    except (OSError, UnicodeDecodeError):
        return ""
    return found[0] if found else ""

"""Photos over HTTP: each goes to its SHA-256, in parts that go on where they broke off.

``HEAD`` says in ``Upload-Offset`` how many bytes are held and in ``Upload-Complete`` whether that
is all; ``PUT`` with ``Content-Range: bytes 0-1048575/3000000`` sends a part, without it the whole.
When the last byte is there the hash is compared and the photo looked at in a bounded process; only
then is it recorded.  What is given back are the bytes that came.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

from litestar import Request, Response, get, head, put
from litestar.params import FromQuery
from litestar.response import Stream

from wainscot.api.desk import Caller, Desk
from wainscot.api.given import Digest, JobKey, TheCaller, TheDesk
from wainscot.api.images import EDGES
from wainscot.api.problems import RefusedError
from wainscot.api.shapes import PhotoAbout
from wainscot.store import DamagedError

_RANGE = re.compile(r"bytes (\d{1,15})-(\d{1,15})/(\d{1,15})")
_CHUNK = 1 << 20
_KINDS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG": "image/png", b"RIFF": "image/webp"}
_KEEP = "private, max-age=31536000, immutable"


class Range:
    """Which bytes of a photo a request brings: from ``start`` up to ``stop`` of ``total``."""

    def __init__(self, content_range: str, length: str, most: int) -> None:
        found = _RANGE.fullmatch(content_range.strip())
        if found:
            self.start, last, self.total = (int(one) for one in found.groups())
            self.stop = last + 1
        elif content_range or not length.isdecimal():
            raise RefusedError("bad-request", "name the bytes: Content-Range or Content-Length")
        else:
            self.start, self.stop = 0, int(length)
            self.total = self.stop
        if self.total > most:
            raise RefusedError("too-large", f"a photo has at most {most} bytes")
        if not self.start < self.stop <= self.total:
            raise RefusedError("bad-request", "the range holds no bytes")


@head("/api/jobs/{job:str}/photos/{digest:str}", opt={"need": "write job"})
async def held(job: JobKey, digest: Digest, desk: TheDesk) -> Response[None]:
    """Say in headers how many bytes of a photo are held; 404 where there are none."""
    here, whole = await asyncio.to_thread(_held, digest, desk)
    headers = {"upload-offset": str(here), "upload-complete": "?1" if whole else "?0"}
    return Response(None, status_code=200 if here else 404, headers=headers)


def _held(digest: str, desk: Desk) -> tuple[int, bool]:
    blobs = desk.store.blobs
    if blobs.has(digest):
        return blobs.file(digest).stat().st_size, True
    return blobs.held(digest), False


@put("/api/jobs/{job:str}/photos/{digest:str}", opt={"need": "write job"}, status_code=200,
     request_max_body_size=None)  # fmt: skip
async def send(
    job: JobKey, digest: Digest, request: Request[Any, Any, Any], desk: TheDesk
) -> Response[PhotoAbout]:
    """Take a photo or a part of it: 201 once it is whole, 202 while bytes are missing."""
    blobs = desk.store.blobs
    headers, most = request.headers, desk.settings.limits.photo
    wanted = Range(headers.get("content-range", ""), headers.get("content-length", ""), most)
    async with desk.upload(digest):
        if await asyncio.to_thread(blobs.has, digest):
            return _told(digest, wanted.total, 200)
        await _take(request.stream(), digest, wanted, desk)
        here = await asyncio.to_thread(blobs.held, digest)
        if here < wanted.total:
            return _told(digest, here, 202)
        await asyncio.to_thread(_record, digest, wanted.total, desk)
    return _told(digest, wanted.total, 201)


def _record(digest: str, total: int, desk: Desk) -> None:
    """Look at a photo whose bytes are all there and record it, or throw the bytes away."""
    blobs, part = desk.store.blobs, desk.store.blobs.part(digest)
    try:
        if part.stat().st_size != total:
            raise RefusedError("other-bytes")
        desk.images.check(part)
        blobs.finish(digest, received=desk.now())
    except DamagedError:
        raise RefusedError("other-bytes") from None
    except RefusedError:
        blobs.drop(digest)
        raise


def _told(digest: str, here: int, status: int) -> Response[PhotoAbout]:
    whole = status != 202
    return Response(
        PhotoAbout(digest, here, whole), status_code=status,
        headers={"upload-offset": str(here), "upload-complete": "?1" if whole else "?0"},
    )  # fmt: skip


async def _take(stream: AsyncIterator[bytes], digest: str, wanted: Range, desk: Desk) -> None:
    """Write what arrives, about a megabyte at a time, and the rest even if the line breaks."""
    at, waiting = wanted.start, bytearray()

    async def write() -> int:
        await asyncio.to_thread(desk.store.blobs.add, digest, at, bytes(waiting))
        return at + len(waiting)

    try:
        async for chunk in stream:
            waiting += chunk
            if at + len(waiting) > wanted.stop:
                waiting.clear()
                raise RefusedError("bad-request", "more bytes came than the range names")
            if len(waiting) >= _CHUNK:
                at = await write()
                waiting.clear()
    finally:
        if waiting:
            await write()


@get("/api/jobs/{job:str}/photos/{digest:str}", opt={"need": "read job"})
async def fetch(job: JobKey, digest: Digest, desk: TheDesk, caller: TheCaller) -> Stream:
    """Give a photo, the bytes as they came."""
    path, kind = await asyncio.to_thread(_kept, job, digest, desk, caller)
    headers = {"content-length": str(path.stat().st_size), "cache-control": _KEEP}
    return Stream(desk.store.blobs.read(digest), media_type=kind, headers=headers)


def _kept(job: str, digest: str, desk: Desk, caller: Caller) -> tuple[Path, str]:
    path = _found(job, digest, desk, caller)
    with path.open("rb") as stream:
        start = stream.read(4)
    kinds = (kind for mark, kind in _KINDS.items() if start.startswith(mark))
    return path, next(kinds, "application/octet-stream")


@get("/api/jobs/{job:str}/photos/{digest:str}/small", opt={"need": "read job"},
     sync_to_thread=True)  # fmt: skip
def small(job: JobKey, digest: Digest, desk: TheDesk, caller: TheCaller, edge: FromQuery[int] = 640
          ) -> Response[bytes]:  # fmt: skip
    """Give a small copy, upright and without anything about place and device."""
    if edge not in EDGES:
        raise RefusedError("bad-request", f"edge is one of {', '.join(map(str, EDGES))}")
    path = _found(job, digest, desk, caller)
    return Response(desk.images.small(digest, path, edge), media_type="image/jpeg",
                    headers={"cache-control": _KEEP})  # fmt: skip


def _found(job: str, digest: str, desk: Desk, caller: Caller) -> Path:
    """Return the file of a photo that the job names; who sees all jobs sees all photos."""
    if caller.reach != "all" and digest not in str(desk.store.job(job).entities):
        raise RefusedError("not-found")
    if not desk.store.blobs.has(digest):
        raise RefusedError("not-found")
    return desk.store.blobs.file(digest)


ROUTES = (held, send, fetch, small)

"""Jobs, the record as a whole, and whether the server is well."""

from __future__ import annotations

import asyncio
import shutil
import tempfile
from collections.abc import AsyncIterator, Iterator
from pathlib import Path
from typing import Any

from litestar import Request, Response, get, post
from litestar.response import Stream

from wainscot import __version__
from wainscot import job as jobs
from wainscot.api.desk import Caller, Desk
from wainscot.api.given import JobKey, TheCaller, TheDesk
from wainscot.api.problems import RefusedError
from wainscot.api.shapes import (
    BackupState,
    Brought,
    Health,
    JobAbout,
    JobList,
    JobPeople,
    Named,
    PutAside,
    StatusAnswer,
    Writer,
)
from wainscot.errors import WainscotError
from wainscot.store import Held, export_everything, import_everything, take_and_rotate
from wainscot.store.blobs import file_chunks

LEAST_FREE = 200 << 20
"""Bytes of free disk below which the server says that it is not ready (judgement)."""


@get("/api/jobs", opt={"need": "see jobs"}, sync_to_thread=True)
def all_jobs(desk: TheDesk, caller: TheCaller) -> JobList:
    """List the jobs that the caller sees."""
    found = [_about(one, desk, caller) for one in desk.store.held()]
    return JobList(desk.record(), [one for one in found if one.mine or caller.reach == "all"])


def _about(held: Held, desk: Desk, caller: Caller) -> JobAbout:
    title = desk.roster.of(held.job).title
    return JobAbout(held.job, title, held.events, held.through, desk.is_on(caller, held.job))


@get("/api/jobs/{job:str}", opt={"need": "read job"}, media_type="application/json",
     sync_to_thread=True)  # fmt: skip
def one_job(job: JobKey, desk: TheDesk) -> Response[bytes]:
    """Give a job as it stands: its job file."""
    if not desk.store.through(job):
        raise RefusedError("not-found")
    return Response(jobs.write(desk.store.job(job)).encode(), media_type="application/json")


@get("/api/jobs/{job:str}/people", opt={"need": "read job"}, sync_to_thread=True)
def people_of(job: JobKey, desk: TheDesk, caller: TheCaller) -> JobPeople:
    """Name who is on a job and whose devices wrote to it; who reaches all jobs sees everybody."""
    wrote = desk.store.writers(job)
    devices = [one for one in desk.accounts.devices() if one.id in wrote]
    here = desk.roster.of(job).accounts | {one.account for one in devices}
    named = [
        Named(one.id, one.name) for one in desk.accounts.all()
        if one.id in here or (caller.reach == "all" and not one.disabled)
    ]  # fmt: skip
    return JobPeople(named, [Writer(one.id, one.name, one.account) for one in devices])


@get("/api/status", opt={"need": "read record"}, sync_to_thread=True)
def status(desk: TheDesk) -> StatusAnswer:
    """Say how much the record holds, and what no backup holds yet."""
    told = desk.store.counts()
    return StatusAnswer(told.events, told.jobs, told.devices, told.quarantined, told.blobs,
                        desk.backup_state())  # fmt: skip


@get("/api/put-aside", opt={"need": "read record"}, sync_to_thread=True)
def put_aside(desk: TheDesk) -> list[PutAside]:
    """List the lines that were no sound events, and why."""
    return [PutAside(one.digest, one.reason) for one in desk.store.quarantined()]


@post("/api/backup", opt={"need": "take backup"}, sync_to_thread=True)
def backup(desk: TheDesk) -> BackupState:
    """Take a backup and read it back."""
    store = desk.store
    with desk.backing_up():
        take_and_rotate(store, store.layout.backups, now=desk.now())
    return desk.backup_state()


@get("/api/everything", opt={"need": "move everything"})
async def everything(desk: TheDesk) -> Stream:
    """Give all events and photos as one file."""
    path = await asyncio.to_thread(_packed, desk)

    def sent() -> Iterator[bytes]:
        try:
            yield from file_chunks(path)
        finally:
            shutil.rmtree(path.parent, ignore_errors=True)

    told = {
        "content-length": str(path.stat().st_size),
        "content-disposition": f'attachment; filename="{path.name}"',
    }
    return Stream(sent(), media_type="application/zip", headers=told)


def _packed(desk: Desk) -> Path:
    folder = Path(tempfile.mkdtemp(dir=desk.store.layout.folder, prefix=".sending-"))
    try:
        export_everything(desk.store, folder / "wainscot-everything.zip", now=desk.now())
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    return folder / "wainscot-everything.zip"


@post("/api/everything", opt={"need": "move everything"}, status_code=200,
      request_max_body_size=None)  # fmt: skip
async def take_everything(request: Request[Any, Any, Any], desk: TheDesk) -> Brought:
    """Take in a file with everything; what is there stays, what is new is added."""
    store, most = desk.store, desk.settings.limits.whole
    folder = Path(tempfile.mkdtemp(dir=store.layout.folder, prefix=".taking-"))
    try:
        path = folder / "everything.zip"
        await _write(request.stream(), path, most, desk)
        brought = await asyncio.to_thread(import_everything, store, path, received=desk.now())
    finally:
        await asyncio.to_thread(shutil.rmtree, folder, ignore_errors=True)
    told = brought.receipt
    if told.added:  # somebody may be erased in any of its jobs
        await asyncio.to_thread(_forget_all, desk)
    return Brought(len(told.added), len(told.known), len(told.refused), brought.blobs)


def _forget_all(desk: Desk) -> None:
    for one in desk.store.held():
        desk.forget(one.job)


async def _write(stream: AsyncIterator[bytes], path: Path, most: int, desk: Desk) -> None:
    at = 0
    path.touch(mode=0o600)
    async for chunk in stream:
        if at + len(chunk) > most:
            raise RefusedError("too-large")
        await asyncio.to_thread(desk.store.disk.add, path, at, chunk)
        at += len(chunk)


@get("/api/health", opt={"need": "nothing"}, sync_to_thread=False)
def health() -> Health:
    """Say that the server answers."""
    return Health(ok=True, version=__version__)


@get("/api/ready", opt={"need": "nothing"}, sync_to_thread=True)
def ready(desk: TheDesk) -> Response[Health]:
    """Say whether the record can be read and there is room to write; 503 where not."""
    why = "it is stopping" if desk.stopping.is_set() else ""
    try:
        desk.record()
        if shutil.disk_usage(desk.store.layout.folder).free < LEAST_FREE:
            why = "the disk is nearly full"
    except (WainscotError, OSError):
        why = "the record cannot be read"
    return Response(Health(not why, __version__, why), status_code=503 if why else 200)


ROUTES = (
    all_jobs,
    one_job,
    people_of,
    status,
    put_aside,
    backup,
    everything,
    take_everything,
    health,
    ready,
)

"""Walks over HTTP: ask for one, follow it, fetch the answer."""

from __future__ import annotations

import asyncio
import hashlib
from collections.abc import AsyncIterator
from typing import Any

import msgspec
from litestar import Request, Response, get, post
from litestar.params import JSONBody
from litestar.response import ServerSentEvent, ServerSentEventMessage

from wainscot.api.desk import Desk
from wainscot.api.given import JobKey, Key, TheDesk
from wainscot.api.paper_shapes import SheetAsk
from wainscot.api.problems import RefusedError
from wainscot.api.shapes import WalkAsk, WalkState
from wainscot.api.walks import Walk
from wainscot.store import firm_rates

TICK = 0.2
"""How often progress is looked at. [s]"""


@post("/api/jobs/{job:str}/walks", opt={"need": "walk job"}, status_code=202, sync_to_thread=True)
def ask(job: JobKey, data: JSONBody[WalkAsk], desk: TheDesk) -> WalkState:
    """Begin to calculate a job as it stands; newer input takes the place of older."""
    through = desk.store.through(job)
    if not through:
        raise RefusedError("not-found")
    if data.draws > desk.settings.limits.draws:
        raise RefusedError("too-large", f"at most {desk.settings.limits.draws} draws")
    made = desk.walks.ask(job, through=through, job=desk.store.job(job), seed=data.seed,
                          draws=data.draws, ranges=data.ranges,
                          wanted=(data.must, data.without, data.most),
                          rates=firm_rates(desk.store).text)  # fmt: skip
    return state_of(made, through)


@get("/api/jobs/{job:str}/walks/{walk:str}", opt={"need": "walk job"}, sync_to_thread=True)
def state(job: JobKey, walk: Key, desk: TheDesk) -> WalkState:
    """Say how far a walk is."""
    return state_of(_found(job, walk, desk), desk.store.through(job))


@get("/api/jobs/{job:str}/walks/{walk:str}/answer", opt={"need": "walk job"},
     media_type="application/json", sync_to_thread=True)  # fmt: skip
def answer(job: JobKey, walk: Key, desk: TheDesk) -> Response[bytes]:
    """Give what a walk that is done tells, from ``diagnosis`` to ``all_clear``."""
    found = _found(job, walk, desk)
    if found.state != "done" or not found.answer.startswith(b"{"):
        raise RefusedError("not-calculated")
    return Response(found.answer, media_type="application/json")


@post("/api/jobs/{job:str}/sheets", opt={"need": "walk job"}, status_code=202, sync_to_thread=True)
def ask_sheet(job: JobKey, data: JSONBody[SheetAsk], desk: TheDesk) -> WalkState:
    """Begin the opening sheet of a walk; it is followed like a walk and fetched as its paper."""
    walk, through = _found(job, data.walk, desk), desk.store.through(job)
    if walk.state != "done" or walk.through != through:
        raise RefusedError("not-calculated", "the job has changed since: calculate it again first")
    made = desk.walks.ask_sheet(walk, desk.store.job(job), which=data.which, size=data.size)
    return state_of(made, through)


@get("/api/jobs/{job:str}/walks/{walk:str}/paper", opt={"need": "walk job"},
     media_type="application/pdf", sync_to_thread=True)  # fmt: skip
def paper(job: JobKey, walk: Key, desk: TheDesk) -> Response[bytes]:
    """Give a sheet that is done, as PDF."""
    found = _found(job, walk, desk)
    if found.state != "done" or not found.answer.startswith(b"%PDF"):
        raise RefusedError("not-calculated")
    headers = {"content-disposition": 'inline; filename="opening-sheet.pdf"'}
    return Response(found.answer, media_type="application/pdf", headers=headers)


@get("/api/jobs/{job:str}/walks/{walk:str}/pocket", opt={"need": "walk job"},
     media_type="application/json", sync_to_thread=True)  # fmt: skip
def pocket(
    job: JobKey, walk: Key, desk: TheDesk, request: Request[Any, Any, Any]
) -> Response[bytes]:
    """Give what a phone carries of a walk that is done, or ``null`` where it cannot carry it."""
    found = _found(job, walk, desk)
    if found.state != "done" or not found.pocket:
        raise RefusedError("not-calculated")
    tag = f'"{hashlib.sha256(found.pocket).hexdigest()}"'
    headers = {"etag": tag, "content-encoding": "gzip"}
    if request.headers.get("if-none-match") == tag:
        return Response(b"", status_code=304, headers={"etag": tag})
    return Response(found.pocket, media_type="application/json", headers=headers)


@get("/api/jobs/{job:str}/outlines", opt={"need": "walk job"}, media_type="application/json",
     sync_to_thread=True)  # fmt: skip
def outlines(job: JobKey, desk: TheDesk) -> Response[bytes]:
    """Give the outlines of the voids of a job as it stands, before anything is calculated."""
    through = desk.store.through(job)
    if not through:
        raise RefusedError("not-found")
    told = desk.outlines.of(job, through=through, job=desk.store.job(job))
    if not told:
        raise RefusedError("not-calculated", "the job has faults, or its voids took too long")
    return Response(told, media_type="application/json")


@post("/api/jobs/{job:str}/cuts", opt={"need": "walk job"}, status_code=200,
      media_type="application/json", sync_to_thread=True)  # fmt: skip
def cuts(job: JobKey, desk: TheDesk) -> Response[bytes]:
    """Say of each cut that somebody drew in a job whether it may be made, and which near it would.

    A cut is drawn as an event of the job; this reads what the record holds, and writes nothing.
    """
    through = desk.store.through(job)
    if not through:
        raise RefusedError("not-found")
    told = desk.outlines.of(job, through=through, job=desk.store.job(job), task="cuts")
    if not told:
        raise RefusedError("not-calculated", "the job has faults, or its voids took too long")
    return Response(told, media_type="application/json")


@get("/api/jobs/{job:str}/walks/{walk:str}/progress", opt={"need": "walk job"},
     media_type="text/event-stream")  # fmt: skip
async def progress(job: JobKey, walk: Key, desk: TheDesk) -> ServerSentEvent:
    """Tell how far a walk is, as it goes, until it has ended; the event's name is its state."""
    found = _found(job, walk, desk)
    return ServerSentEvent(_told(found, job, desk))


async def _told(walk: Walk, job: str, desk: Desk) -> AsyncIterator[ServerSentEventMessage]:
    last: WalkState | None = None
    while True:
        through = await asyncio.to_thread(desk.store.through, job)
        now = state_of(walk, through)
        if now != last:
            text = msgspec.json.encode(now).decode()
            yield ServerSentEventMessage(data=text, event=now.state)
            last = now
        if walk.ended:
            return
        if desk.stopping.is_set():
            yield ServerSentEventMessage(data="{}", event="stopping")
            return
        await asyncio.sleep(TICK)
        # Another host may have gone on with it.
        found: Walk | None = await asyncio.to_thread(desk.walks.find, walk.id)
        walk = found or walk


def _found(job: str, walk: str, desk: Desk) -> Walk:
    found = desk.walks.find(walk)
    if found is None or found.job != job:
        raise RefusedError("not-found")
    return found


def state_of(walk: Walk, through: int) -> WalkState:
    """Return how far a walk is.

    Parameters
    ----------
    walk : Walk
        The walk.
    through : int
        Number of the job's last event as it stands now.
    """
    return WalkState(
        id=walk.id, job=walk.job, state=walk.state, share=round(walk.share, 3),
        through=walk.through, current=walk.through == through and walk.state != "superseded",
        by=walk.by, reason=walk.reason, faults=walk.faults,
    )  # fmt: skip


ROUTES = (ask, state, answer, pocket, ask_sheet, paper, outlines, cuts, progress)

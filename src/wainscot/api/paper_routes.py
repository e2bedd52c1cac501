"""Papers over HTTP: ask for one, see which were made, read one as PDF or as pages.

What can be made now, and what each kind still lacks, stands in the answer of a walk (``papers``).
A paper that was asked for is followed like a walk; once it is done it is kept, by the SHA-256 of
its bytes, with the version of the job that it tells of.
"""

from __future__ import annotations

import hashlib

import msgspec
from litestar import Response, get, post
from litestar.params import JSONBody

from wainscot.api import logs
from wainscot.api.desk import Desk
from wainscot.api.given import Digest, JobKey, TheCaller, TheDesk
from wainscot.api.keeping import about
from wainscot.api.paper_shapes import PaperAsk, PaperList
from wainscot.api.problems import RefusedError
from wainscot.api.shapes import WalkState
from wainscot.api.walk_routes import state_of
from wainscot.job import sound
from wainscot.papers.answers import version_of
from wainscot.papers.kinds import papers as kinds
from wainscot.papers.photo_list import hashes_of
from wainscot.record import text_of
from wainscot.store import MadePaper, StoreError, firm_rates, give_head, paper_of, papers_of

_KEEP = "private, max-age=31536000, immutable"


@post("/api/jobs/{job:str}/papers", opt={"need": "walk job"}, status_code=202, sync_to_thread=True)
def ask(job: JobKey, data: JSONBody[PaperAsk], desk: TheDesk, caller: TheCaller) -> WalkState:
    """Begin a paper of a job as it stands; it is followed like a walk, its answer tells of it."""
    through = desk.store.through(job)
    if not through:
        raise RefusedError("not-found")
    if data.kind not in kinds():
        raise RefusedError("bad-request", f"kind is one of {', '.join(kinds())}")
    given = desk.store.job(job)
    photos = {one: str(desk.store.blobs.file(one))
              for one in hashes_of(sound(given)) if desk.store.blobs.has(one)}  # fmt: skip
    task = ("paper", msgspec.msgpack.encode(given), data.kind, data.language, data.size,
            desk.store.head(job), _head(desk), photos, firm_rates(desk.store).text)  # fmt: skip
    return state_of(desk.walks.ask_paper(job, through, task, caller.account), through)


def _head(desk: Desk) -> str:
    """Return the text of a head that is given out with a paper; empty where none can be signed."""
    try:
        return text_of(give_head(desk.store, now=desk.now()))
    except StoreError as error:
        desk.log.warning("no head", **logs.about(error))
        return ""


@get("/api/jobs/{job:str}/papers", opt={"need": "read job"}, sync_to_thread=True)
def made(job: JobKey, desk: TheDesk) -> PaperList:
    """Give the papers that were made of a job, the newest first."""
    if not desk.store.through(job):
        raise RefusedError("not-found")
    now = version_of(desk.store.job(job))
    return PaperList(now, [about(one, now) for one in papers_of(desk.store, job)])


@get("/api/jobs/{job:str}/papers/{digest:str}", opt={"need": "read job"},
     media_type="application/pdf", sync_to_thread=True)  # fmt: skip
def pdf(job: JobKey, digest: Digest, desk: TheDesk) -> Response[bytes]:
    """Give a paper as PDF."""
    one = _found(job, digest, desk)
    return pdf_answer(desk, one)


def pdf_answer(desk: Desk, one: MadePaper) -> Response[bytes]:
    """Return a made paper as PDF, to be looked at where it is.

    Parameters
    ----------
    desk : Desk
        What the server holds.
    one : MadePaper
        The paper.
    """
    headers = {"content-disposition": f'inline; filename="{one.kind}.pdf"', "cache-control": _KEEP}
    return Response(bytes_of(desk, one.digest), media_type="application/pdf", headers=headers)


@get("/api/jobs/{job:str}/papers/{digest:str}/pages", opt={"need": "read job"},
     media_type="application/json", sync_to_thread=True)  # fmt: skip
def pages(job: JobKey, digest: Digest, desk: TheDesk) -> Response[bytes]:
    """Give the pages of a paper as a list of SVG; they are to be shown as pictures."""
    one = _found(job, digest, desk)
    headers = {"content-encoding": "gzip", "cache-control": _KEEP}
    content = bytes_of(desk, one.pages)
    return Response(content, media_type="application/json", headers=headers)


def _found(job: str, digest: str, desk: Desk) -> MadePaper:
    one = paper_of(desk.store, job, digest)
    if one is None:
        raise RefusedError("not-found")
    return one


def bytes_of(desk: Desk, digest: str) -> bytes:
    """Return bytes that the record holds, once their hash was looked at.

    Parameters
    ----------
    desk : Desk
        What the server holds.
    digest : str
        Their SHA-256.
    """
    content = b"".join(desk.store.blobs.read(digest))
    if hashlib.sha256(content).hexdigest() != digest:
        raise RefusedError("record-refused", "the paper's bytes are damaged; have it made again")
    return content


ROUTES = (ask, made, pdf, pages)

"""Links for owner, tenant and trade: each leads one reader, who has no account, to one paper.

The token stands in the address behind ``#``, which a browser sends to nobody; the page reads it
there and sends it in the body of a request.  Whatever is wrong with a token, the answer is the
same.
"""

from __future__ import annotations

from functools import cache
from importlib import resources

import msgspec
from litestar import Response, delete, get, post
from litestar.params import FromPath, JSONBody

from wainscot.api.desk import Desk
from wainscot.api.given import JobKey, Key, TheCaller, TheClient, TheDesk
from wainscot.api.guide import shown
from wainscot.api.paper_routes import bytes_of
from wainscot.api.paper_shapes import (
    LinkAbout,
    LinkAsk,
    LinkKey,
    LinkMade,
    LinkShown,
    LinkState,
    LinkViews,
)
from wainscot.api.problems import RefusedError, hold_back
from wainscot.store import PaperLink, paper_of
from wainscot.store.links import Seen

_FILES = {
    "": ("link.html", "text/html"),
    "link.css": ("link.css", "text/css"),
    "link.js": ("link.js", "text/javascript"),
}


@post("/api/jobs/{job:str}/links", opt={"need": "share papers"}, sync_to_thread=True)
def make(job: JobKey, data: JSONBody[LinkAsk], desk: TheDesk, caller: TheCaller) -> LinkMade:
    """Make a link to one paper; its address is told this once."""
    if not desk.settings.login:
        raise RefusedError("not-allowed", "only this machine is served; start it with --lan")
    paper = paper_of(desk.store, job, data.paper)
    if paper is None:
        raise RefusedError("not-found", "the job has no such paper; make it first")
    made, token = desk.links.make(
        paper, data.reader, sender=data.sender or caller.name, days=data.days, at=desk.now()
    )
    address = f"{desk.settings.origins[0]}/link#{token}"
    return LinkMade(_about(made, desk), address, shown(address))


@get("/api/jobs/{job:str}/links", opt={"need": "share papers"}, sync_to_thread=True)
def listed(job: JobKey, desk: TheDesk) -> list[LinkAbout]:
    """List the links of a job, the newest first, those that have ended too."""
    return [_about(one, desk) for one in desk.links.of(job)]


@get("/api/jobs/{job:str}/links/{link:str}", opt={"need": "share papers"}, sync_to_thread=True)
def views(job: JobKey, link: Key, desk: TheDesk) -> LinkViews:
    """Say when a link was used; by whom or from where is not kept."""
    found = next((one for one in desk.links.of(job) if one.id == link), None)
    if found is None:
        raise RefusedError("not-found")
    return LinkViews(_about(found, desk), desk.links.views(job, link))


@delete("/api/jobs/{job:str}/links/{link:str}", opt={"need": "share papers"}, status_code=200,
        sync_to_thread=True)  # fmt: skip
def revoke(job: JobKey, link: Key, desk: TheDesk) -> LinkAbout:
    """Take a link back for good."""
    found = desk.links.revoke(job, link, at=desk.now())
    if found is None:
        raise RefusedError("not-found")
    return _about(found, desk)


@post("/api/link", opt={"need": "nothing"}, status_code=200, sync_to_thread=True)
def look(data: JSONBody[LinkKey], desk: TheDesk, client: TheClient) -> LinkShown:
    """Say which paper a link leads to."""
    found = _used(data.token, "opened", desk, client)
    return LinkShown(found.title, found.sender, found.language, found.printed, found.until)


@post("/api/link/pages", opt={"need": "nothing"}, status_code=200,
      media_type="application/json", sync_to_thread=True)  # fmt: skip
def read(data: JSONBody[LinkKey], desk: TheDesk, client: TheClient) -> Response[bytes]:
    """Give the pages of the paper of a link, as a list of SVG."""
    found = _used(data.token, "read", desk, client)
    pages, headers = bytes_of(desk, found.pages), {"content-encoding": "gzip"}
    return Response(pages, media_type="application/json", headers=headers)


@post("/api/link/paper", opt={"need": "nothing"}, status_code=200,
      media_type="application/pdf", sync_to_thread=True)  # fmt: skip
def save(data: JSONBody[LinkKey], desk: TheDesk, client: TheClient) -> Response[bytes]:
    """Give the paper of a link as PDF."""
    found = _used(data.token, "saved", desk, client)
    return Response(bytes_of(desk, found.paper), media_type="application/pdf")


@get(["/link", "/link/{page:str}"], opt={"need": "nothing"}, include_in_schema=False,
     sync_to_thread=False)  # fmt: skip
def link_page(page: FromPath[str] = "") -> Response[bytes]:
    """Give the page that a link opens; it holds nothing of any job."""
    if page not in _FILES:
        raise RefusedError("not-found")
    file, kind = _FILES[page]
    return Response(_content(file), media_type=kind)


@cache
def _content(file: str) -> bytes:
    return (resources.files(__package__) / "link_page" / file).read_bytes()


def _used(token: str, seen: Seen, desk: Desk, client: str) -> PaperLink:
    """Return the link of a token; only wrong ones count against an address."""
    if (found := desk.links.use(token, seen, at=desk.now())) is not None:
        return found
    hold_back(desk.guesses.wait(client, desk.steady()))
    raise RefusedError("no-link")


def _about(one: PaperLink, desk: Desk) -> LinkAbout:
    state: LinkState = "ended" if desk.links.ended(one, desk.now()) else "good"
    told = {name: value for name, value in msgspec.structs.asdict(one).items()
            if name in LinkAbout.__struct_fields__}  # fmt: skip
    return LinkAbout(state="revoked" if one.revoked else state, **told)


ROUTES = (make, listed, views, revoke, look, read, save, link_page)

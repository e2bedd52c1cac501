"""What is no data: the app's own files, the guide, the description of the interface."""

from __future__ import annotations

import mimetypes

from litestar import Response, get
from litestar.params import FromPath

from wainscot.api.desk import Desk
from wainscot.api.given import TheDesk
from wainscot.api.problems import RefusedError

_BARE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>wainscot</title></head>
<body><h1>wainscot</h1><p>The server runs. The app is not part of this installation; programs use
<a href="/api/openapi.json">/api/openapi.json</a>.</p></body></html>
"""

_KINDS = {".js": "text/javascript", ".mjs": "text/javascript", ".wasm": "application/wasm",
          ".webmanifest": "application/manifest+json"}  # fmt: skip


@get("/", opt={"need": "nothing"}, include_in_schema=False, sync_to_thread=True)
def home(desk: TheDesk) -> Response[bytes]:
    """Give the app's first page."""
    return _file(desk, "index.html") or Response(_BARE.encode(), media_type="text/html")


@get("/{path:path}", opt={"need": "nothing"}, include_in_schema=False, sync_to_thread=True)
def file(path: FromPath[str], desk: TheDesk) -> Response[bytes]:
    """Give one of the app's files; only what was there at the start has an address."""
    found = _file(desk, path.lstrip("/"))
    if found is None:
        raise RefusedError("not-found")
    return found


def _file(desk: Desk, name: str) -> Response[bytes] | None:
    path = desk.files.get(name)
    if path is None:
        return None
    kind = _KINDS.get(path.suffix) or mimetypes.guess_type(path.name)[0]
    return Response(path.read_bytes(), media_type=kind or "application/octet-stream",
                    headers={"cache-control": "no-cache"})  # fmt: skip


@get(["/guide", "/guide/{page:str}"], opt={"need": "nothing"}, include_in_schema=False,
     sync_to_thread=False)  # fmt: skip
def guide(desk: TheDesk, page: FromPath[str] = "") -> Response[bytes]:
    """Lead a phone to trust the firm's certificate."""
    found = desk.guide.pages.get(page) if desk.guide else None
    if found is None:
        raise RefusedError("not-found")
    kind, body = found
    return Response(body, media_type=kind)


@get("/api/openapi.json", opt={"need": "nothing"}, include_in_schema=False, sync_to_thread=True)
def openapi() -> Response[bytes]:
    """Give the description of the interface (OpenAPI 3.1)."""
    from wainscot.api.openapi import described

    return Response(described(), media_type="application/json")


ROUTES = (home, file, guide, openapi)

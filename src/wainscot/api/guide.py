"""One page that leads a phone to trust the firm's certificate, and the codes that lead to it.

The page and the certificate are public.  They are also served without TLS, by a listener that has
nothing else to give, because a phone that does not trust the certificate yet cannot fetch it
otherwise.  Whoever sits in the network then could hand out another certificate; so the page asks to
compare its fingerprint with the one on the office's screen.
"""

from __future__ import annotations

import base64
import html
import io
from typing import Any, TextIO

import segno

from wainscot.api.frame import HEADERS, Scope

Page = tuple[str, bytes]

_STYLE = b"""body{font:18px/1.5 system-ui,sans-serif;margin:1.5rem auto;max-width:38rem;
padding:0 1rem;color:#1c1b19;background:#f7f4ee}h1{font-size:1.5rem}
code{word-break:break-all;font-size:.95rem}
img{width:15rem;background:#fff;padding:.5rem}a{color:#7a3d12}li{margin:.6rem 0}
@media(prefers-color-scheme:dark){body{color:#eee9df;background:#1c1b19}a{color:#e0a878}}"""

_TEXT = """<!doctype html><html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width,initial-scale=1"><title>Connect a phone</title>
<link rel="stylesheet" href="/guide/style.css"></head><body><h1>Connect a phone</h1>
<p>Once for each phone. Stay on the office's network.</p><ol>
<li>Fetch <a href="/guide/certificate.crt">the firm's certificate</a>.</li>
<li>Compare its fingerprint with the one on the office's screen. If they differ, stop and say so in
the office.<br><code>{fingerprint}</code></li>
<li>Install it in the phone's settings as a certificate authority (on some phones it waits there as
a downloaded profile), and switch on full trust for it where the phone asks.</li>
<li>Open <a href="{address}">{address}</a> and log in.<br>
<img src="/guide/address.svg" alt="code with the address"></li></ol>
<p>It vouches for <code>{name}</code> and for private addresses alone. To take it off again,
remove it in the same settings.</p></body></html>
"""


class Guide:
    """The pages, ready to be sent.

    Parameters
    ----------
    name : str
        The fixed host name.
    address : str
        Where the app is.
    page : str
        Where the guide is.
    authority : bytes
        The authority's certificate, DER.
    fingerprint : str
        Its SHA-256.
    """

    def __init__(
        self, name: str, address: str, page: str, authority: bytes, fingerprint: str
    ) -> None:
        self.address = address
        self.page = page
        self.fingerprint = fingerprint
        told = {"name": name, "address": address, "fingerprint": fingerprint}
        text = _TEXT.format(**{key: html.escape(value) for key, value in told.items()})
        self.pages: dict[str, Page] = {
            "": ("text/html; charset=utf-8", text.encode()),
            "style.css": ("text/css; charset=utf-8", _STYLE),
            "certificate.crt": ("application/x-x509-ca-cert", authority),
            "address.svg": ("image/svg+xml", code(address)),
            "page.svg": ("image/svg+xml", code(page)),
        }

    def show(self, out: TextIO) -> None:
        """Write both codes to a terminal, with what they lead to."""
        for what, address in (("1. trust the certificate", self.page), ("2. open", self.address)):
            out.write(f"\n{what}: {address}\n")
            segno.make(address, error="m", micro=False).terminal(out=out, compact=True)
        out.write(f"\nfingerprint of the certificate:\n{self.fingerprint}\n")
        out.flush()


def code(address: str) -> bytes:
    """Return a QR code as SVG."""
    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(
        out, kind="svg", scale=8, dark="#000", light="#fff", xmldecl=False
    )
    return out.getvalue()


def shown(address: str) -> str:
    """Return a QR code as an address that a page can show as a picture."""
    return "data:image/svg+xml;base64," + base64.b64encode(code(address)).decode()


class Plain:
    """An ASGI application that gives the guide's pages and nothing else; for use without TLS."""

    def __init__(self, guide: Guide) -> None:
        self._pages = {f"/guide/{name}".rstrip("/"): page for name, page in guide.pages.items()}

    async def __call__(self, scope: Scope, receive: Any, send: Any) -> None:
        """Take one request."""
        if scope["type"] != "http":
            return
        path = str(scope["path"]).rstrip("/") or "/guide"
        page = self._pages.get(path) if scope["method"] in ("GET", "HEAD") else None
        kind, body = page or ("text/plain; charset=utf-8", b"nothing here; see /guide\n")
        headers = {**HEADERS, "content-type": kind, "content-length": str(len(body)),
                   "cache-control": "no-store"}  # fmt: skip
        packed = [(name.encode(), value.encode()) for name, value in headers.items()]
        status = 200 if page else 404
        await send({"type": "http.response.start", "status": status, "headers": packed})
        await send(
            {"type": "http.response.body", "body": body if scope["method"] != "HEAD" else b""}
        )

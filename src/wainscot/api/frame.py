"""What every request passes, whatever the route: host, origin, size, rate; headers; a line of log.

It stands outside the router, so that a page that is not there and a method that is not known are
answered with the same headers as all others.

The origin is looked at on every method that changes something, by the headers ``Origin`` and
``Sec-Fetch-Site``, which a page cannot forge.  A request with a cookie and neither header is
refused: browsers send one of them.
"""

from __future__ import annotations

import secrets
import time
from collections.abc import MutableMapping
from typing import TYPE_CHECKING, Any

from wainscot.api.logs import about
from wainscot.api.problems import RefusedError, hold_back, told

if TYPE_CHECKING:
    from wainscot.api.desk import Desk

POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; "
    "img-src 'self' blob: data:; font-src 'self'; connect-src 'self'; worker-src 'self'; "
    "manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
"""Content security policy (CSP level 3): nothing from elsewhere; the kernel is WebAssembly."""

HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "x-frame-options": "DENY",
    # A browser heeds it over TLS only; the guide without TLS is asked for by number, not by name.
    "strict-transport-security": "max-age=31536000; includeSubDomains",
    "permissions-policy": "camera=(self), microphone=(), geolocation=(), usb=(), payment=()",
}
"""Headers of every answer."""

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
COOKIE = "__Host-wainscot"

Scope = MutableMapping[str, Any]


class Frame:
    """An ASGI application round another.

    Parameters
    ----------
    app : ASGI application
        The routes.
    desk : Desk
        Settings, rates, log.
    """

    def __init__(self, app: Any, desk: Desk) -> None:
        self.app = app
        self.desk = desk

    async def __call__(self, scope: Scope, receive: Any, send: Any) -> None:
        """Take one request."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
        elif scope["type"] == "http":
            await self._http(scope, receive, send)
        else:
            await send({"type": "websocket.close", "code": 1008})

    async def _http(self, scope: Scope, receive: Any, send: Any) -> None:
        number, start = secrets.token_hex(6), time.perf_counter()
        scope.setdefault("state", {})["number"] = number
        status = 0

        async def passed(message: dict[str, Any]) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                message = {**message, "headers": _headed(message.get("headers", ()), number)}
            await send(message)

        try:
            self._look(scope)
            await self.app(scope, receive, passed)
        except RefusedError as error:
            await _answer(passed, *told(error, number))
        except Exception as error:
            self.desk.log.error("failed", request=number, **about(error))
            if not status:
                await _answer(passed, *told(error, number))
        finally:
            caller = scope["state"].get("caller")
            self.desk.log.info(
                "request", request=number, method=_method(scope), status=status,
                route=scope.get("path_template", "none"), role=getattr(caller, "rank", "nobody"),
                ms=round(1000 * (time.perf_counter() - start), 1),
            )  # fmt: skip

    def _look(self, scope: Scope) -> None:
        """Refuse what no route should see."""
        headers = {
            bytes(name).decode("latin-1").lower(): bytes(value).decode("latin-1")
            for name, value in scope["headers"]
        }
        settings = self.desk.settings
        if headers.get("host", "") not in settings.hosts:
            raise RefusedError("other-host")
        if scope["method"] not in SAFE:
            _look_at_origin(headers, settings.origins)
        elif headers.get("sec-fetch-site") == "cross-site" and headers.get(
            "sec-fetch-mode"
        ) not in ("navigate", None):
            raise RefusedError("other-site")
        if headers.get("content-encoding", "identity") != "identity":
            raise RefusedError("wrong-media", "send it unpacked")
        client = (scope.get("client") or ("",))[0]
        hold_back(self.desk.requests.wait(str(client), self.desk.steady()))


def _look_at_origin(headers: dict[str, str], ours: tuple[str, ...]) -> None:
    origin, site = headers.get("origin"), headers.get("sec-fetch-site")
    if origin is not None and origin not in ours:
        raise RefusedError("other-site")
    if site is not None and site not in ("same-origin", "none"):
        raise RefusedError("other-site")
    if origin is None and site is None and COOKIE in headers.get("cookie", ""):
        raise RefusedError("other-site")


def _headed(headers: Any, number: str) -> list[tuple[bytes, bytes]]:
    given = [(bytes(name).lower(), bytes(value)) for name, value in headers]
    names = {name for name, _ in given}
    more = [(name.encode(), value.encode()) for name, value in HEADERS.items()]
    if b"cache-control" not in names:
        more.append((b"cache-control", b"no-store"))
    more.append((b"x-request-id", number.encode()))
    return [*given, *(one for one in more if one[0] not in names)]


async def _answer(send: Any, status: int, headers: dict[str, str], body: bytes) -> None:
    packed = [
        (name.encode(), value.encode("latin-1", "replace")) for name, value in headers.items()
    ]
    packed.append((b"content-length", str(len(body)).encode()))
    await send({"type": "http.response.start", "status": status, "headers": packed})
    await send({"type": "http.response.body", "body": body})


def _method(scope: Scope) -> str:
    """Return the method, or that it is none: a made-up one may hold anything."""
    known = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
    return scope["method"] if scope["method"] in known else "other"

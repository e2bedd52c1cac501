"""Finds out who asks, and whether the route's need lets them in."""

from __future__ import annotations

import asyncio
from typing import Any, cast

from litestar import Request
from litestar.connection import ASGIConnection
from litestar.handlers.base import BaseRouteHandler

from wainscot.api.desk import Caller, Desk
from wainscot.api.frame import COOKIE
from wainscot.api.problems import RefusedError
from wainscot.api.rights import NEEDS

Connection = ASGIConnection[Any, Any, Any, Any]

NEED = "need"
"""Name under which a route keeps its need."""


async def gate(connection: Connection, handler: BaseRouteHandler) -> None:
    """Let a request in, or refuse it; the caller stands in the request's state afterwards."""
    need = handler.opt.get(NEED)
    if need is None:  # OPTIONS, which the framework adds and no other site's page may use
        raise RefusedError("wrong-method")
    desk = desk_of(connection)
    caller, refused = await asyncio.to_thread(
        _asked, desk, _token(connection), str(need),
        cast(str, connection.path_params.get("job", "")),
    )  # fmt: skip
    connection.scope["state"]["caller"] = caller
    if refused:
        raise RefusedError(refused)


def _asked(desk: Desk, token: str, need: str, job_id: str) -> tuple[Caller, str]:
    caller = caller_of(desk, token)
    caller.reach = NEEDS[need].of(caller.rank)
    if caller.reach == "none":
        return caller, "no-login" if caller.rank == "nobody" else "not-allowed"
    if caller.reach == "mine" and job_id and not desk.is_on(caller, job_id):
        return caller, "not-on-job"
    return caller, ""


def caller_of(desk: Desk, token: str) -> Caller:
    """Return who has a token.

    Parameters
    ----------
    desk : Desk
        The server.
    token : str
        Of a session or a device; may be empty.
    """
    if not desk.settings.login:
        return Caller("alone")
    who = desk.accounts.who(token, at=desk.now()) if token else None
    if who is None:
        return Caller("nobody")
    return Caller(who.account.role, who.account.id, who.account.name, who.device, token)


def _token(connection: Connection) -> str:
    kind, _, token = connection.headers.get("authorization", "").partition(" ")
    if kind.lower() == "bearer":
        return token.strip()
    return connection.cookies.get(COOKIE, "")


def desk_of(connection: Connection) -> Desk:
    """Return what a server holds."""
    return cast(Desk, connection.app.state.desk)


async def give_desk(request: Request[Any, Any, Any]) -> Desk:
    """Hand a route what the server holds."""
    return desk_of(request)


async def give_caller(request: Request[Any, Any, Any]) -> Caller:
    """Hand a route who asks."""
    return cast(Caller, request.scope["state"]["caller"])

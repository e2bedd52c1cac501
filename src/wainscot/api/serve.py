"""Starts and stops the server.

One person on this machine: plain HTTP on the loopback address, no login.  Anything else: TLS and
accounts, or it does not start.

It stops gracefully: what is under way is finished, streams of progress end, walks are ended, the
record is closed.  A second signal stops at once; what was acknowledged is on the disk either way.
"""

from __future__ import annotations

import asyncio
import contextlib
import ipaddress
import signal
import socket
import ssl
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, TextIO

import msgspec
import uvicorn

from wainscot.api import tls
from wainscot.api.app import make_app
from wainscot.api.desk import Desk, utc_now
from wainscot.api.guide import Guide, Plain
from wainscot.api.logs import logger, take_over
from wainscot.api.settings import Limits, Settings
from wainscot.errors import WainscotError
from wainscot.store import Accounts, Store

PORT, LAN_PORT = 8420, 8443
PATIENCE = 30
"""How long running requests may take when the server stops. [s]"""


class ServeError(WainscotError):
    """The server would not be safe as it was asked for, or cannot start."""


class Wish(msgspec.Struct, frozen=True):
    """How the server was asked for; ``port`` 0 stands for the usual one."""

    host: str = ""
    port: int = 0
    lan: bool = False
    name: str = ""
    cert: Path | None = None
    key: Path | None = None
    limits: Limits = Limits()


class Plan(msgspec.Struct, frozen=True):
    """How the server will be: where it listens, with what certificate, what it is called."""

    host: str
    port: int
    settings: Settings
    chain: Path | None = None
    key: Path | None = None
    authority: bytes = b""
    page: str = ""
    """Where the guide is."""


def is_loopback(host: str) -> bool:
    """Whether an address is of this machine only.

    Parameters
    ----------
    host : str
        Address or name as typed.
    """
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def planned(wish: Wish, store: Store, accounts: Accounts) -> Plan:
    """Return how the server will be.

    Parameters
    ----------
    wish : Wish
        As it was asked for.
    store : Store
        The record; the certificate authority lies in its folder.
    accounts : Accounts
        Who may come in.

    Raises
    ------
    ServeError
        If others could reach it without TLS and login.
    """
    if not wish.lan and wish.cert is None:
        return _alone(wish)
    if not any(one.role == "office" and not one.disabled for one in accounts.all()):
        raise ServeError("nobody could log in: wainscot user add NAME --role office")
    port = wish.port or LAN_PORT
    host = wish.host or "0.0.0.0"
    if wish.cert is not None:
        if wish.key is None or not wish.name:
            raise ServeError("--cert needs --key and --name, the host name that it is made out to")
        settings = Settings(origins=_origins("https", [wish.name], port), name=wish.name,
                            limits=wish.limits)  # fmt: skip
        return Plan(host, port, settings, wish.cert, wish.key)
    addresses = tls.own_addresses()
    folder = store.layout.folder / "tls"
    fixed = wish.name or ("" if (folder / "authority.pem").is_file() else tls.own_name())
    made = tls.prepare(folder, fixed, addresses, utc_now())
    names = [made.name, *addresses, "localhost", "127.0.0.1"]
    settings = Settings(origins=_origins("https", names, port), name=made.name,
                        fingerprint=made.fingerprint, limits=wish.limits)  # fmt: skip
    # By number, for a phone that does not know the name yet.
    page = f"http://{next(iter(addresses), made.name)}:{port + 1}/guide"
    return Plan(host, port, settings, made.chain, made.key, made.authority, page)


def _alone(wish: Wish) -> Plan:
    host, port = wish.host or "127.0.0.1", wish.port or PORT
    if not is_loopback(host):
        raise ServeError(
            f"{host} can be reached by others, and without TLS and login anybody there could read "
            "and write; use --lan, or --cert, --key and --name with a certificate of your own"
        )
    names = dict.fromkeys([host, "127.0.0.1", "localhost"])
    settings = Settings(origins=_origins("http", names, port), login=False, limits=wish.limits)
    return Plan(host, port, settings)


def _origins(scheme: str, names: Iterable[str], port: int) -> tuple[str, ...]:
    usual = {"http": 80, "https": 443}[scheme]
    shown = "" if port == usual else f":{port}"
    return tuple(f"{scheme}://{f'[{one}]' if ':' in one else one}{shown}" for one in names)


def serve(wish: Wish, store: Store, out: TextIO | None = None) -> None:
    """Serve until a signal says stop; the record is closed then.

    Parameters
    ----------
    wish : Wish
        As it was asked for.
    store : Store
        The record.
    out : text stream, optional
        For address and codes; standard output by default.
    """
    out = out or sys.stdout
    accounts = Accounts(store.database)
    plan = planned(wish, store, accounts)
    guide = None
    if plan.authority:
        first = plan.settings.origins[0]
        guide = Guide(
            plan.settings.name, first, plan.page, plan.authority, plan.settings.fingerprint
        )
    log = logger()
    take_over(log)
    desk = Desk(store, plan.settings, accounts, log, guide=guide)
    try:
        asyncio.run(_run(plan, desk, guide, out))
    finally:
        desk.close()
        log.info("closed")


async def _run(plan: Plan, desk: Desk, guide: Guide | None, out: TextIO) -> None:
    server = _Server(_config(make_app(desk), plan), desk)
    tasks: list[asyncio.Task[None]] = []
    with contextlib.ExitStack() as held:
        listening = held.enter_context(_bound(plan.host, plan.port))
        plain = None
        if guide is not None:
            open_to_all = msgspec.structs.replace(plan, port=plan.port + 1, chain=None, key=None)
            beside = held.enter_context(_bound(plan.host, open_to_all.port))
            plain = _Quiet(_config(Plain(guide), open_to_all))
            tasks.append(asyncio.create_task(plain.serve(sockets=[beside])))
        tasks.append(asyncio.create_task(_greet(server, plan, guide, out, desk)))
        try:
            await server.serve(sockets=[listening])
        finally:
            server.should_exit = True
            if plain is not None:
                plain.should_exit = True
            await asyncio.gather(*tasks, return_exceptions=True)


def _bound(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        made = socket.create_server((host, port), family=family, backlog=128)
        # Inherited by each line; without it an answer waits 40 ms for its second packet.
        made.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        return made
    except OSError as error:
        reason = error.strerror or "it is no address of this machine"
        raise ServeError(f"nothing can listen at {host}, port {port}: {reason}") from None


async def _greet(
    server: uvicorn.Server, plan: Plan, guide: Guide | None, out: TextIO, desk: Desk
) -> None:
    while not server.started:
        if server.should_exit:
            return
        await asyncio.sleep(0.02)
    desk.log.info("started", login=plan.settings.login, tls=plan.chain is not None)
    out.write(f"wainscot serves {plan.settings.origins[0]}; Ctrl-C stops it\n")
    if not await asyncio.to_thread(desk.walks.worked_on):
        out.write("nobody calculates yet; start at least one: wainscot worker\n")
    out.flush()
    if guide is not None:
        guide.show(out)


def _config(app: Any, plan: Plan) -> uvicorn.Config:
    config = uvicorn.Config(
        app, host=plan.host, port=plan.port, log_config=None, access_log=False, lifespan="off",
        http="h11", ws="none", proxy_headers=False, server_header=False, limit_concurrency=200,
        timeout_keep_alive=15, timeout_graceful_shutdown=PATIENCE,
        ssl_certfile=plan.chain, ssl_keyfile=plan.key,
    )  # fmt: skip
    config.load()
    if config.ssl is not None:
        config.ssl.minimum_version = ssl.TLSVersion.TLSv1_2
    return config


class _Server(uvicorn.Server):
    """Tells the desk that it stops, so that streams end and the rest can finish."""

    def __init__(self, config: uvicorn.Config, desk: Desk) -> None:
        super().__init__(config)
        self._desk = desk

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        # A client that keeps an idle line open would hold up the farewell of TLS for half a minute.
        for one in list(self.server_state.connections):
            cycle, transport = getattr(one, "cycle", None), getattr(one, "transport", None)
            if transport is not None and (cycle is None or cycle.response_complete):
                transport.abort()
        await super().shutdown(sockets)

    def handle_exit(self, sig: int, frame: Any) -> None:
        self._desk.stopping.set()
        super().handle_exit(sig, frame)

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        # The server's own way raises the signal again afterwards, before the record is closed.
        before = {sig: signal.signal(sig, self.handle_exit)
                  for sig in (signal.SIGINT, signal.SIGTERM)}  # fmt: skip
        try:
            yield
        finally:
            for sig, handler in before.items():
                signal.signal(sig, handler)


class _Quiet(uvicorn.Server):
    """A second server in one process; signals are for the first."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield

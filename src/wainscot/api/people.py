"""Logging in, devices, accounts."""

from __future__ import annotations

import msgspec
from litestar import Response, delete, get, patch, post, put
from litestar.datastructures import Cookie
from litestar.params import JSONBody

from wainscot.api.desk import Desk
from wainscot.api.frame import COOKIE
from wainscot.api.given import Key, TheCaller, TheClient, TheDesk
from wainscot.api.people_shapes import (
    AccountAbout,
    AccountChange,
    DeviceAbout,
    Login,
    Me,
    NewAccount,
    NewDevice,
    OwnPassword,
    PasswordChanged,
)
from wainscot.api.problems import RefusedError, hold_back
from wainscot.store import Account, Device
from wainscot.store.accounts import SESSION

YEAR = 365 * 86_400


@get("/api/me", opt={"need": "nothing"}, sync_to_thread=False)
def me(caller: TheCaller) -> Me:
    """Say who is asking."""
    return Me(caller.rank, caller.account, caller.name, caller.device)


@post("/api/login", opt={"need": "nothing"}, status_code=200, sync_to_thread=True)
def login(
    data: JSONBody[Login], desk: TheDesk, caller: TheCaller, client: TheClient
) -> Response[Me]:
    """Open a session: a cookie that no script can read, or the token itself where asked for."""
    if not desk.settings.login:
        return Response(Me(caller.rank))
    _held_back(desk, data.name, client)
    account = desk.accounts.check(data.name, data.password)
    if account is None:
        raise RefusedError("wrong-login")
    token = desk.accounts.open_session(account.id, at=desk.now())
    about = Me(account.role, account.id, account.name, token=token if data.token else "")
    return Response(about, cookies=[] if data.token else [_cookie(token, int(SESSION))])


def _held_back(desk: Desk, name: str, client: str) -> None:
    """Refuse who tried too many passwords, by name and by address."""
    now = desk.steady()
    hold_back(max(desk.names.wait(name.strip().casefold(), now), desk.addresses.wait(client, now)))


@put("/api/me/password", opt={"need": "be logged in"}, sync_to_thread=True)
def change_password(
    data: JSONBody[OwnPassword], desk: TheDesk, caller: TheCaller, client: TheClient
) -> PasswordChanged:
    """Change one's own password; the other sessions of the account end, its devices stay."""
    if not caller.account:
        raise RefusedError("not-allowed", "one person on one machine has no password")
    _held_back(desk, caller.name, client)
    ended = desk.accounts.change_password(
        caller.account, data.present, data.password, token=caller.token
    )
    return PasswordChanged(
        ended, sum(not one.revoked for one in desk.accounts.devices(caller.account))
    )


@post("/api/logout", opt={"need": "nothing"}, status_code=204, sync_to_thread=True)
def logout(desk: TheDesk, caller: TheCaller) -> Response[None]:
    """End this session; a device stays registered."""
    if caller.token:
        desk.accounts.close_session(caller.token)
    return Response(None, cookies=[_cookie("", 0)])


def _cookie(token: str, seconds: int) -> Cookie:
    return Cookie(key=COOKIE, value=token, max_age=seconds, path="/", secure=True, httponly=True,
                  samesite="strict")  # fmt: skip


@get("/api/devices", opt={"need": "keep devices"}, sync_to_thread=True)
def devices(desk: TheDesk, caller: TheCaller) -> list[DeviceAbout]:
    """List the caller's devices, or all."""
    whose = caller.account if caller.reach == "mine" else ""
    return [_device(one) for one in desk.accounts.devices(whose)]


@post("/api/devices", opt={"need": "be logged in"}, sync_to_thread=True)
def add_device(
    data: JSONBody[NewDevice], desk: TheDesk, caller: TheCaller
) -> Response[DeviceAbout]:
    """Register a device; it stays logged in until it is revoked.

    A browser's session goes on as the device and ends.  Its id is what it writes into events.
    """
    if not caller.account:
        raise RefusedError("not-allowed", "one person on one machine needs no devices")
    made, token = _registered(desk, caller.account, data.name, data.device)
    if not data.token and not caller.device:  # its cookie is overwritten, so nobody would end it
        desk.accounts.close_session(caller.token)
    about = msgspec.structs.replace(_device(made), token=token if data.token else "")
    return Response(about, cookies=[] if data.token else [_cookie(token, YEAR)])


def as_device(desk: Desk, account: Account, name: str, device: str) -> Response[Me]:
    """Register a device of an account and let it in by cookie.

    Parameters
    ----------
    desk : Desk
        The server.
    account : Account
        Whose.
    name : str
        What the device is called.
    device : str
        The id under which it wrote before, or none.
    """
    made, token = _registered(desk, account.id, name, device)
    about = Me(account.role, account.id, account.name, made.id)
    return Response(about, cookies=[_cookie(token, YEAR)])


def _registered(desk: Desk, account: str, name: str, device: str) -> tuple[Device, str]:
    # Of a device that wrote to the record before, nobody can tell whose it was.
    own = "" if device and desk.store.wrote(device) else device
    return desk.accounts.add_device(account, name, at=desk.now(), device_id=own)


@delete("/api/devices/{device:str}", opt={"need": "keep devices"}, status_code=200,
        sync_to_thread=True)  # fmt: skip
def revoke_device(device: Key, desk: TheDesk, caller: TheCaller) -> DeviceAbout:
    """Shut a device out for good; what it wrote stays."""
    whose = caller.account if caller.reach == "mine" else ""
    if device not in {one.id for one in desk.accounts.devices(whose)}:
        raise RefusedError("not-found")
    return _device(desk.accounts.revoke(device, at=desk.now()))


@get("/api/accounts", opt={"need": "keep accounts"}, sync_to_thread=True)
def accounts(desk: TheDesk) -> list[AccountAbout]:
    """List all accounts."""
    return [_account(one) for one in desk.accounts.all()]


@post("/api/accounts", opt={"need": "keep accounts"}, sync_to_thread=True)
def add_account(data: JSONBody[NewAccount], desk: TheDesk) -> AccountAbout:
    """Make an account."""
    return _account(desk.accounts.add(data.name, data.role, data.password, at=desk.now()))


@patch("/api/accounts/{account:str}", opt={"need": "keep accounts"}, sync_to_thread=True)
def change_account(account: Key, data: JSONBody[AccountChange], desk: TheDesk) -> AccountAbout:
    """Change role or password of an account, or shut it out."""
    if account not in {one.id for one in desk.accounts.all()}:
        raise RefusedError("not-found")
    if data.password is not None:
        desk.accounts.set_password(account, data.password)
    if data.role is not None:
        desk.accounts.set_role(account, data.role)
    if data.disabled is not None:
        desk.accounts.set_disabled(account, data.disabled)
    return _account(next(one for one in desk.accounts.all() if one.id == account))


def _account(one: Account) -> AccountAbout:
    return AccountAbout(one.id, one.name, one.role, one.disabled, one.made)


def _device(one: Device) -> DeviceAbout:
    return DeviceAbout(one.id, one.account, one.name, one.made, one.revoked)


ROUTES = (me, login, change_password, logout, devices, add_device, revoke_device, accounts,
          add_account, change_account)  # fmt: skip

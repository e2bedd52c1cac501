"""Codes by which a phone joins: shown on a screen that is logged in, good for minutes and once.

Whoever scans one needs no password: the phone becomes a device of the account that the code was
made for.  The code stands in the address behind ``#``, which a browser sends to nobody.
"""

from __future__ import annotations

from litestar import Response, post
from litestar.params import JSONBody

from wainscot.api.given import TheCaller, TheClient, TheDesk
from wainscot.api.guide import shown
from wainscot.api.joins import LASTS, spelled
from wainscot.api.people import as_device
from wainscot.api.people_shapes import Join, JoinAsk, JoinCode, Me
from wainscot.api.problems import RefusedError, hold_back


@post("/api/joins", opt={"need": "be logged in"}, sync_to_thread=True)
def make_join(data: JSONBody[JoinAsk], desk: TheDesk, caller: TheCaller) -> JoinCode:
    """Make a code for a phone of the caller's own; the office makes them for anybody."""
    if not caller.account:
        raise RefusedError("not-allowed", "only this machine is served; start it with --lan")
    whose = data.account or caller.account
    if whose != caller.account and caller.rank != "office":
        raise RefusedError("not-allowed")
    found = next((one for one in desk.accounts.all() if one.id == whose and not one.disabled), None)
    if found is None:
        raise RefusedError("not-found")
    made = desk.joins.make(found.id, desk.steady())
    link = f"{desk.settings.origins[0]}/#/join/{made}"
    page = desk.guide.page if desk.guide else ""
    return JoinCode(
        code=spelled(made), minutes=int(LASTS // 60), name=found.name, link=link,
        picture=shown(link), guide=page, guide_picture=shown(page) if page else "",
        fingerprint=desk.settings.fingerprint,
    )  # fmt: skip


@post("/api/join", opt={"need": "nothing"}, status_code=200, sync_to_thread=True)
def join(data: JSONBody[Join], desk: TheDesk, client: TheClient) -> Response[Me]:
    """Take a code and let the phone in as a device; the code is spent."""
    if not desk.settings.login:
        return Response(Me("alone"))
    hold_back(desk.addresses.wait(client, desk.steady()))
    whose = desk.joins.take(data.code, desk.steady())
    account = next(
        (one for one in desk.accounts.all() if one.id == whose and not one.disabled), None
    )
    if account is None:
        raise RefusedError("wrong-code")
    return as_device(desk, account, data.name, data.device)


ROUTES = (make_join, join)

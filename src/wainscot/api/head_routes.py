"""Heads of the record over HTTP: give one out, list those that were."""

from __future__ import annotations

from litestar import get, post

from wainscot.api.given import TheDesk
from wainscot.api.guide import shown
from wainscot.api.paper_shapes import HeadAbout
from wainscot.record import Head, paper_lines, text_of
from wainscot.store import give_head, heads


@post("/api/heads", opt={"need": "give head"}, status_code=200, sync_to_thread=True)
def give(desk: TheDesk) -> HeadAbout:
    """Give out a signed head of all that has arrived; the last again where nothing did since."""
    return _about(give_head(desk.store, now=desk.now()))


@get("/api/heads", opt={"need": "give head"}, sync_to_thread=True)
def given(desk: TheDesk) -> list[HeadAbout]:
    """List the heads that were given out, the newest first, a hundred at most."""
    return [_about(one, drawn=False) for one in heads(desk.store)[:-101:-1]]


def _about(one: Head, *, drawn: bool = True) -> HeadAbout:
    text = text_of(one)
    return HeadAbout(one.size, one.root, one.time, paper_lines(one), text,
                     shown(text) if drawn else "")  # fmt: skip


ROUTES = (give, given)

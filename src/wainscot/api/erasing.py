"""A person forgotten in a job, by the office; and the key by which a device signs."""

from __future__ import annotations

from datetime import timedelta

from litestar import post, put
from litestar.params import JSONBody

from wainscot.api.desk import Desk
from wainscot.api.given import JobKey, TheCaller, TheDesk
from wainscot.api.people_shapes import KeyAbout, KeyTold
from wainscot.api.problems import RefusedError
from wainscot.api.shapes import EraseAnswer, EraseAsk, LeftAbout
from wainscot.store import Found, Rotated, erase, look, set_key, take_and_rotate
from wainscot.store.rotation import DAYS


@post("/api/jobs/{job:str}/erase", opt={"need": "erase person"}, status_code=200,
      sync_to_thread=True)  # fmt: skip
def erase_person(
    job: JobKey, data: JSONBody[EraseAsk], desk: TheDesk, caller: TheCaller
) -> EraseAnswer:
    """Say what a job holds of a person; erase it where the name is typed a second time.

    A backup is taken afterwards; those from before go as :mod:`wainscot.store.rotation` says.
    """
    if not desk.store.through(job):
        raise RefusedError("not-found")
    names = [data.person, *data.also]
    if not data.typed:
        return _answer(look(desk.store, job, names), Rotated(), desk, erased=False)
    if data.typed != data.person:
        raise RefusedError("bad-request", "another name was typed; nothing was erased")
    with desk.backing_up():
        desk.walks.forget(job)  # a paper that is being made of the job would come after the look
        found = look(desk.store, job, names)
        erase(desk.store, found, now=desk.now(), by=caller.account)
        desk.forget(job)
        _, rotated = take_and_rotate(desk.store, desk.store.layout.backups, now=desk.now())
    return _answer(found, rotated, desk, erased=True)


def _answer(found: Found, rotated: Rotated, desk: Desk, *, erased: bool) -> EraseAnswer:
    before = [*rotated.staying, *rotated.unreached]
    return EraseAnswer(
        erased=erased, texts=len(found.texts), photos=len(found.photos), papers=len(found.papers),
        aside=len(found.aside), places=[f"{one or 'job'}.{field}" for one, field in found.places],
        left=[LeftAbout(one.id, one.device, one.seq, one.entity, one.field) for one in found.left],
        backups_before=len(before), days=DAYS,
        backups_go=f"{desk.clock() + timedelta(days=DAYS):%Y-%m-%d}" if before else "",
        unreached=[one.name for one in rotated.unreached],
    )  # fmt: skip


@put("/api/device-key", opt={"need": "be logged in"}, sync_to_thread=True)
def tell_key(data: JSONBody[KeyTold], desk: TheDesk, caller: TheCaller) -> KeyAbout:
    """Note the key by which the caller's device signs from now on; one before ends."""
    if not caller.device:
        raise RefusedError("no-device")
    with desk.store.database.writing() as connection:
        set_key(connection, caller.device, data.key, at=desk.now())
    return KeyAbout(caller.device, data.key)


ROUTES = (erase_person, tell_key)

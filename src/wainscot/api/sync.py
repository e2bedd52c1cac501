"""Events over HTTP: a set that both sides fill, in batches, repeats free of charge."""

from __future__ import annotations

from typing import Annotated

from litestar import get, post
from litestar.params import JSONBody, QueryParameter

from wainscot.api.desk import Caller, Desk
from wainscot.api.given import JobKey, TheCaller, TheDesk
from wainscot.api.problems import RefusedError
from wainscot.api.rights import PUT_PEOPLE_ON, SEVERAL_DEVICES, puts_people_on
from wainscot.api.shapes import (
    Asked,
    Barred,
    EventPage,
    EventReceipt,
    HeldAnswer,
    PutAside,
    SentEvents,
    Tally,
)
from wainscot.record import Event, RecordError, erases, instant, sent_of
from wainscot.store import (
    Admitted,
    Page,
    Refused,
    admit,
    firm_rates,
    held_by,
    keys_in,
    photos_held_by,
)

After = Annotated[int, QueryParameter(ge=0, le=2**62)]
Most = Annotated[int, QueryParameter(ge=1, le=500)]
Named = Annotated[str, QueryParameter(max_length=100)]


@post("/api/jobs/{job:str}/events", opt={"need": "write job"}, status_code=200,
      sync_to_thread=True)  # fmt: skip
def send(job: JobKey, data: JSONBody[SentEvents], desk: TheDesk, caller: TheCaller) -> EventReceipt:
    """Take events in; what is told as added or known was read back from the record.

    A line that is no sound event is put aside, an event that the caller may not write is barred;
    neither holds up the others.
    """
    if caller.rank not in SEVERAL_DEVICES and not caller.device:
        raise RefusedError("no-device")
    told = [admit(line.encode("utf-8", "surrogatepass")) for line in data.lines]
    barred = _barred(told, job, desk, caller)
    left = [one for n, one in enumerate(told) if n not in barred]
    raw = [sent_of(one.event) if isinstance(one, Admitted) else one.raw for one in left]
    now = desk.now()
    receipt = desk.store.append(raw, received=now, skew=_skew(data.now, now))
    if missing := desk.store.wanted([*receipt.added, *receipt.known]):
        raise RuntimeError(f"{len(missing)} events are not there that were written")
    if receipt.added:
        added = set(receipt.added)
        if any(erases(one.event) for one in left
               if isinstance(one, Admitted) and one.event.id in added):  # fmt: skip
            desk.forget(job)
        _newer_input(job, desk)
    return _receipt(told, receipt.added, receipt.known, receipt.refused, barred, job, desk)


def _receipt(
    told: list[Admitted | Refused], added: tuple[str, ...], known: tuple[str, ...],
    refused: tuple[Refused, ...], barred: dict[int, Barred], job: str, desk: Desk,
) -> EventReceipt:  # fmt: skip
    tally = Tally(len(told), len(added), len(known), len(refused), len(barred))
    return EventReceipt(
        added=list(added), known=list(known),
        refused=[PutAside(one.digest, one.reason) for one in refused],
        barred=list(barred.values()), tally=tally, record=desk.record(),
        through=desk.store.through(job),
    )  # fmt: skip


def _barred(
    told: list[Admitted | Refused], job: str, desk: Desk, caller: Caller
) -> dict[int, Barred]:
    """Return, by place in the batch, the events that the caller may not write."""
    own = {caller.device} | {one.id for one in desk.accounts.devices(caller.account)}
    free = caller.rank in PUT_PEOPLE_ON
    sent = {one.event.entity for one in told if isinstance(one, Admitted)
            and puts_people_on(one.event)}  # fmt: skip
    people = frozenset() if free else desk.roster.of(job).entities | sent
    keys = _keys(told, desk)
    found: dict[int, Barred] = {}
    for n, one in enumerate(told):
        if isinstance(one, Admitted):
            event, reason = one.event, ""
            if event.job != job:
                reason = "it belongs to another job"
            elif caller.rank not in SEVERAL_DEVICES and event.device not in own:
                reason = "another device wrote it"
            elif event.entity in people:
                reason = "this account may not say who is on a job"
            else:
                reason = _unfit(event, caller, keys)
            if reason:
                found[n] = Barred(event.id, reason)
    return found


def _unfit(event: Event, caller: Caller, keys: dict[str, set[str]]) -> str:
    """Return why an event's signature or what it erases is not taken; empty where it is."""
    key = event.beside.key
    if erases(event) and caller.rank not in SEVERAL_DEVICES:
        return "only the office erases"
    if key and key not in keys.get(event.device, {key}):
        return "it is signed by a key that is not this device's; let the device tell its key"
    return ""


def _keys(told: list[Admitted | Refused], desk: Desk) -> dict[str, set[str]]:
    """Return the keys that the devices of a batch told, those that ended too."""
    devices = {one.event.device for one in told if isinstance(one, Admitted)}
    found: dict[str, set[str]] = {}
    with desk.store.database.reading() as connection:
        for one in (key for device in devices for key in keys_in(connection, device)):
            found.setdefault(one.device, set()).add(one.key)
    return found


def _skew(told: str, now: str) -> float | None:
    """Return by how much the server's clock is ahead; None where the device did not tell."""
    try:
        return (instant(now) - instant(told)).total_seconds() if told else None
    except RecordError:
        return None


def _newer_input(job: str, desk: Desk) -> None:
    """Let a walk that is under way begin anew with what was just written."""
    if running := desk.walks.running(job):
        desk.walks.ask(
            job, through=desk.store.through(job), job=desk.store.job(job), seed=running.seed,
            draws=running.draws, ranges=running.ranges, wanted=running.wanted,
            rates=firm_rates(desk.store).text,
        )  # fmt: skip


@get("/api/jobs/{job:str}/events", opt={"need": "read job"}, sync_to_thread=True)
def fetch(job: JobKey, desk: TheDesk, after: After = 0, until: After = 0, record: Named = "",
          most: Most = 500) -> EventPage:  # fmt: skip
    """Give a job's events that arrived after a number, in order of receipt, and up to another."""
    return _page(desk.store.page(after, until=until, record=record, job_id=job, most=most))


@get("/api/events", opt={"need": "read record"}, sync_to_thread=True)
def fetch_all(desk: TheDesk, after: After = 0, record: Named = "", most: Most = 500) -> EventPage:
    """Give the events of all jobs that arrived after a number, in order of receipt."""
    return _page(desk.store.page(after, record=record, most=most))


def _page(page: Page) -> EventPage:
    lines = [one.decode("utf-8") for one in page.lines]
    return EventPage(page.record, page.through, page.more, lines)


@post("/api/jobs/{job:str}/held", opt={"need": "read job"}, status_code=200, sync_to_thread=True)
def held(job: JobKey, data: JSONBody[Asked], desk: TheDesk) -> HeldAnswer:
    """Say what of a device's events and photos is held here, and what a verified backup holds."""
    events = list(dict.fromkeys(data.events))
    photos = [one for one in dict.fromkeys(data.photos) if desk.store.blobs.has(one)]
    wanted = set(desk.store.wanted(events))
    database, last = desk.store.database, desk.backup().last
    return HeldAnswer(
        events=[one for one in events if one not in wanted], photos=photos,
        events_backed_up=list(held_by(database, last, events)),
        photos_backed_up=list(photos_held_by(database, last, photos)),
        backup=desk.backup_state(),
    )  # fmt: skip


ROUTES = (send, fetch, fetch_all, held)

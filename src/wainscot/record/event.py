"""One line of a job's record, and its id.

The id is the SHA-256 of the event's canonical JSON (RFC 8785) without the id, so nobody can change
a line unseen, and the same line has the same id on every machine.  Beside it, outside the hash,
stand the device's signature over the id and the personal texts that the event only names by hash.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any, Literal

import msgspec

from wainscot.record.cover import Opened, commitment, covered, hashes_in
from wainscot.record.form import NewerFormError, RecordError, canonical

SCHEMA = 1
"""Version of the event's form."""

EventKind = Literal["add", "set", "withdraw"]

HEADER = ("title", "units")
"""Fields of the job itself; they are set on the entity with the empty id."""


class Beside(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What travels with an event and is not part of its id.

    ``key`` is the device's public Ed25519 key and ``signature`` its signature over the id, both
    hexadecimal; both are empty where the event was not signed.  ``opened`` holds the personal texts
    that the event names by hash, each with its salt.
    """

    key: str = ""
    signature: str = ""
    opened: dict[str, Opened] = {}


class Event(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One change to a job, written once and never altered.

    ``add`` gives a whole entity as ``value``; ``set`` one field of it (of the job, where ``entity``
    is empty); ``withdraw`` takes out a field, or the entity where ``field`` is empty.  ``seq``
    counts a device's own events and ``prev`` is the id of the one before.  ``supersedes`` names the
    events whose word this one replaces, whatever the clocks say.
    """

    id: str
    schema: int
    job: str
    device: str
    seq: int
    prev: str
    at: str
    """When it was written, ISO 8601 with offset."""
    kind: EventKind
    entity: str = ""
    field: str = ""
    value: Any = None
    """As typed; plain JSON."""
    supersedes: tuple[str, ...] = ()
    elapsed: int | None = None
    """Milliseconds that the device had been running, which no setting of its clock changes."""
    more: dict[str, Any] = {}
    """Fields that this program does not know; kept, and part of the id."""
    beside: Beside = Beside()
    """No part of the id."""


KNOWN = frozenset(field.name for field in msgspec.structs.fields(Event)) - {"more"}
"""Names of the fields of an event as it is written."""


def event_id(body: Mapping[str, Any]) -> str:
    """Return the id of an event by its content.

    Parameters
    ----------
    body : mapping
        The event as plain JSON values; ``id`` and ``beside`` in it are left out of the hash.
    """
    content = {name: value for name, value in body.items() if name not in ("id", "beside")}
    return hashlib.sha256(canonical(content)).hexdigest()


def body_of(event: Event) -> dict[str, Any]:
    """Return an event's content without its id, as plain JSON values."""
    body = msgspec.structs.asdict(event)
    del body["id"], body["more"], body["beside"]
    if event.elapsed is None:
        del body["elapsed"]
    body["supersedes"] = list(event.supersedes)
    return {**event.more, **body}


def line_of(event: Event) -> bytes:
    """Return what of an event is hashed as one line of canonical JSON, its id too; no line end."""
    return canonical({"id": event.id, **body_of(event)})


def beside_of(event: Event) -> bytes:
    """Return what stands beside an event as canonical JSON; empty where nothing does."""
    if event.beside == Beside():
        return b""
    return canonical(msgspec.to_builtins(event.beside))


def joined(line: bytes, beside: bytes) -> bytes:
    """Return an event's line with what stands beside it in front, as it is sent and kept in files.

    Parameters
    ----------
    line, beside : bytes
        As :func:`line_of` and :func:`beside_of` give them.
    """
    return b'{"beside":' + beside + b"," + line[1:] if beside else line


def parted(line: bytes) -> tuple[bytes, bytes]:
    """Return the two parts of a line that :func:`joined` gave; any other line stays whole.

    Raises
    ------
    ValueError
        If what stands in front is no JSON.
    """
    front = b'{"beside":'
    if not line.startswith(front):
        return line, b""
    text = line[len(front) :].decode("utf-8")
    _, end = json.JSONDecoder().raw_decode(text)
    return b"{" + text[end + 1 :].encode("utf-8"), text[:end].encode("utf-8")


def sent_of(event: Event) -> bytes:
    """Return an event as it is sent: its line with what stands beside it."""
    return joined(line_of(event), beside_of(event))


def signed_text(name: str) -> bytes:
    """Return the bytes that a device signs for an event.

    Parameters
    ----------
    name : str
        The event's id.
    """
    return f"wainscot event 1\n{name}\n".encode()


def event_of(content: Any) -> Event:
    """Return the event that plain JSON holds; :func:`sent_of` gives the same JSON back.

    Parameters
    ----------
    content : object
        A parsed line of a record.

    Raises
    ------
    NewerFormError
        If it was written in a newer form.
    RecordError
        If it is no event, or not the one that its id names.
    """
    if not isinstance(content, dict):
        raise RecordError("an event is an object in braces")
    schema = content.get("schema")
    if isinstance(schema, int) and schema > SCHEMA:
        raise _newer(schema)
    known = {name: value for name, value in content.items() if name in KNOWN}
    more = {name: value for name, value in content.items() if name not in KNOWN}
    try:
        made = msgspec.convert({**known, "more": more}, type=Event)
    except msgspec.ValidationError as error:
        raise RecordError(f"not the shape of an event: {error}") from None
    except UnicodeEncodeError:
        raise RecordError("a text of the event holds half a character, which is no text") from None
    check(made)
    return made


def event(
    kind: EventKind,
    *,
    job: str,
    device: str,
    seq: int,
    prev: str,
    at: str,
    entity: str = "",
    field: str = "",
    value: Any = None,
    supersedes: tuple[str, ...] = (),
    elapsed: int | None = None,
    opened: Mapping[str, Opened] | None = None,
) -> Event:
    """Return an event with its id.

    Parameters
    ----------
    kind : {"add", "set", "withdraw"}
        What it does.
    job, device : str
        Ids of the job and of the device that writes.
    seq : int
        Number of the event among the device's own.
    prev : str
        Id of the device's event before; empty for its first.
    at : str
        When, ISO 8601 with offset.
    entity, field : str
        What it changes.
    value : object
        The new value as typed, plain JSON.
    supersedes : tuple of str
        Ids of the events that it replaces.
    elapsed : int, optional
        Milliseconds that the device had been running.
    opened : mapping, optional
        What opens the personal texts that ``value`` names by hash.

    Raises
    ------
    RecordError
        If the parts do not make an event.
    """
    named = tuple(sorted(supersedes))
    made = Event("", SCHEMA, job, device, seq, prev, at, kind, entity, field, value, named,
                 elapsed, beside=Beside(opened=dict(opened or {})))  # fmt: skip
    _check_form(made)
    return msgspec.structs.replace(made, id=event_id(body_of(made)))


def check(event: Event) -> None:
    """Refuse an event whose form, time or id is wrong.

    Raises
    ------
    RecordError
        Says what is wrong and with which event.
    """
    _check_form(event)
    if event.id != event_id(body_of(event)):
        raise RecordError(f"event {event.id[:12]} was altered: its content has another id")
    check_beside(event)


def check_beside(event: Event) -> None:
    """Refuse personal texts that are not those which an event names, and half a signature.

    Whether a signature fits is for the store to say.

    Raises
    ------
    RecordError
        Says what is wrong and with which event.
    """
    one = event.beside
    if bool(one.key) != bool(one.signature):
        raise RecordError(f"event {event.id[:12]} has a key or a signature and not both")
    if not one.opened:
        return
    named = set(hashes_in(event.value))
    for key, (salt, value) in one.opened.items():
        if key not in named or commitment(salt, value) != key:
            raise RecordError(f"event {event.id[:12]}: a personal text is not the one it was")


@lru_cache(maxsize=65_536)
def instant(at: str) -> datetime:
    """Return a time with offset as an instant.

    Raises
    ------
    RecordError
        If it is no ISO 8601 time or has no offset.
    """
    try:
        moment = datetime.fromisoformat(at)
        if moment.tzinfo is None:
            raise ValueError("no offset")
        return moment.astimezone(UTC)
    except (ValueError, OverflowError):
        raise RecordError(f"{at!r} is no time with offset (2025-03-14T09:30+00:00)") from None


def _check_form(event: Event) -> None:
    instant(event.at)
    if event.schema > SCHEMA:
        raise _newer(event.schema)
    if event.schema != SCHEMA:
        raise RecordError(f"no event has the form {event.schema}")
    if not (event.job and event.device and event.seq >= 1):
        raise RecordError("an event names its job and its device, and counts from 1")
    if not KNOWN.isdisjoint(event.more):
        raise RecordError("a field stands twice in an event")
    if event.kind == "add":
        good = bool(event.entity) and not event.field and isinstance(event.value, dict)
        # An entity that is a covered text itself would come back as a text, without fields.
        good = good and "" not in event.value and not covered(event.value)
    elif event.kind == "set":
        good = bool(event.field) and (bool(event.entity) or _fits_header(event))
    else:
        good = bool(event.entity) and event.value is None
    if not good:
        raise RecordError(f"no job can take this {event.kind} of {event.entity!r}.{event.field!r}")


def _newer(schema: int) -> NewerFormError:
    return NewerFormError(
        f"event form {schema} is newer than this program knows ({SCHEMA}); "
        "install the newer program, and it is read then"
    )


def _fits_header(event: Event) -> bool:
    if event.field == "units":
        return event.value in ("ft-in", "m")
    return event.field in HEADER and (isinstance(event.value, str) or covered(event.value))

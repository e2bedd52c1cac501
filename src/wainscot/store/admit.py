"""What arrives to an event, or to a reason why it was put aside.

Whether an event is let in depends on the event alone, never on what came before it: two records
that were given the same lines in another order hold the same events.  A signature beside it that
does not fit puts the line aside; an event without one is let in.

>>> admit(b"{}").reason.split(":")[0]
'not the shape of an event'
"""

from __future__ import annotations

import hashlib
import json
from typing import Any

import msgspec

from wainscot.record import Event, RecordError, beside_of, event_of, line_of
from wainscot.store.signatures import check_signature

LARGEST = 1 << 20
"""Bytes of the largest event that is let in (judgement: a plan of 2,000 corners takes 60 kB)."""


class Admitted(msgspec.Struct, frozen=True):
    """A sound event, and its line as it is hashed."""

    event: Event
    line: bytes


class Refused(msgspec.Struct, frozen=True):
    """What was put aside: the bytes as they came, their SHA-256, and why."""

    digest: str
    raw: bytes
    reason: str


def admit(raw: bytes) -> Admitted | Refused:
    """Return the event that bytes hold, or why they hold none.

    Parameters
    ----------
    raw : bytes
        One line of a record, JSON in UTF-8.
    """
    try:
        event = event_of(_parsed(raw))
        line = line_of(event)
        if "\0" in f"{event.job}{event.device}{event.prev}":
            raise RecordError("the names of job, device and the event before hold no NUL")
        if (size := len(line) + len(beside_of(event))) > LARGEST:
            raise RecordError(f"an event of {size} bytes; the largest has {LARGEST}")
        check_signature(event)
    except RecordError as error:
        return Refused(hashlib.sha256(raw).hexdigest(), raw, str(error))
    return Admitted(event, line)


def _parsed(raw: bytes) -> Any:
    try:
        return json.loads(raw.decode("utf-8"), object_pairs_hook=_once, parse_constant=_none_such)
    except RecursionError:
        raise RecordError("values are nested too deep") from None
    except ValueError as error:
        raise RecordError(f"not JSON: {error}") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise RecordError("a name stands twice in one object")
    return found


def _none_such(name: str) -> Any:
    raise RecordError(f"{name} is no JSON")

"""What the keys of devices and the hashes of personal texts show of a record.

A device that has signed once signs all that it writes later; where one later event is not signed,
somebody took the signature away.  A key that the device did not tell as its own is not the device.

Limits: a device that never signed can be written for by anybody; events from before devices had
keys are told as not signed and count.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from wainscot.record import Event, erased_by, hashes_in, key_name
from wainscot.store.database import Finding
from wainscot.store.findings import told
from wainscot.store.keys import DeviceKey


def signatures(events: Sequence[Event], keys: Sequence[DeviceKey]) -> Iterator[Finding]:
    """Give what signatures show; whether each fits its key was looked at with its event.

    Parameters
    ----------
    events : sequence of Event
        Of one record.
    keys : sequence of DeviceKey
        That devices told.
    """
    by_device: dict[str, list[Event]] = {}
    for one in events:
        by_device.setdefault(one.device, []).append(one)
    faults: list[str] = []
    notes: list[str] = []
    for device, mine in sorted(by_device.items()):
        mine.sort(key=lambda one: one.seq)
        known = [one for one in keys if one.device == device]
        faults += _faults(device, mine, {one.key for one in known})
        notes += _notes(device, mine, known)
    count = sum(bool(one.beside.key) for one in events)
    yield from told("signature", faults, f"{count} of {len(events)} events are signed; each fits")
    for text in notes:
        yield Finding("signature", "note", text)


def _faults(device: str, mine: Sequence[Event], known: set[str]) -> Iterator[str]:
    first = next((one.seq for one in mine if one.beside.key), None)
    for one in mine:
        key = one.beside.key
        if key and known and key not in known:
            yield f"{device}: number {one.seq} is signed by {key_name(key)}, a key not told for it"
        if not key and first is not None and one.seq > first:
            yield f"{device}: number {one.seq} is not signed, and number {first} is"


def _notes(device: str, mine: Sequence[Event], known: Sequence[DeviceKey]) -> Iterator[str]:
    bare = sum(not one.beside.key for one in mine)
    if bare:
        yield f"{device}: {bare} of {len(mine)} events are not signed"
    used = dict.fromkeys(one.beside.key for one in mine if one.beside.key)
    if used and not known:
        yield f"{device}: signed by {_named(used)}; nobody told here that this is its key"
    if len(used) > 1:
        yield f"{device}: its key changed: {_named(used)}"
    for one in known:
        if one.until:
            yield f"{device}: key {key_name(one.key)} ended {one.until}"


def _named(keys: Iterable[str]) -> str:
    return ", then ".join(map(key_name, keys))


def texts(events: Sequence[Event]) -> Iterator[Finding]:
    """Give how many personal texts are here, erased by somebody's word, or missing without one.

    Parameters
    ----------
    events : sequence of Event
        Of one record.
    """
    erased = set(erased_by(events))
    here = missing = gone = 0
    for one in events:
        for key in hashes_in(one.value):
            if key in one.beside.opened:
                here += 1
            elif key in erased:
                gone += 1
            else:
                missing += 1
    yield Finding("text", "good", f"{here} personal texts fit their hashes; {gone} were erased")
    if missing:
        yield Finding("text", "note", f"{missing} personal texts are not here and no event says "
                      "that they were erased")  # fmt: skip

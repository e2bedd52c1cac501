"""Keys: the private ones of this machine, and the public one of every device that told its own.

The record signs heads with one key and the events that it writes itself with another.  Both lie
beside the SQLite file, readable by their owner only, and are in no backup: a stolen backup cannot
sign, and a record that was restored gets others.

Limits: signing needs ``cryptography`` (``pip install 'wainscot[proof]'``); checking needs nothing.
Whoever can read the folder can sign.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec
from sqlalchemy import Connection, select

from wainscot.record import Beside, Event, signed_text
from wainscot.store.durable import Disk
from wainscot.store.faults import DamagedError, StoreError
from wainscot.store.signatures import hexadecimal
from wainscot.store.tables import device_key

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey


class DeviceKey(msgspec.Struct, frozen=True):
    """The public key of a device, from when it counts, and until when; empty while it does."""

    device: str
    key: str
    since: str
    until: str = ""


def key_at(path: Path, disk: Disk) -> Ed25519PrivateKey:
    """Return the private key in a file; made where there is none.

    Parameters
    ----------
    path : Path
        The file.
    disk : Disk
        Acts on the disk.

    Raises
    ------
    DamagedError
        If the file holds another thing.
    StoreError
        If what signs is not installed.
    """
    try:
        from cryptography.hazmat.primitives import serialization
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    except ImportError:
        raise StoreError("signing a head needs: pip install 'wainscot[proof]'") from None
    if path.is_file():
        try:
            found = serialization.load_pem_private_key(path.read_bytes(), None)
        except ValueError:
            found = None
        if not isinstance(found, Ed25519PrivateKey):
            raise DamagedError(
                f"{path} is not the key that was made here; move it away, and a new one is made"
            )
        return found
    made = Ed25519PrivateKey.generate()
    plain = serialization.NoEncryption()
    form = serialization.PrivateFormat.PKCS8
    # The disk's own acts make it readable by its owner only, whole or not at all.
    disk.write(path, [made.private_bytes(serialization.Encoding.PEM, form, plain)])
    return made


def signed(
    connection: Connection, events: Sequence[Event], path: Path, disk: Disk, *, at: str
) -> tuple[Event, ...]:
    """Return events signed by this machine, and note its key for the devices that they name.

    Where nothing is installed that signs, they come back as they are: not signed.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    events : sequence of Event
        That this machine wrote.
    path : Path
        File of the key; made where there is none.
    disk : Disk
        Acts on the disk.
    at : str
        Now, ISO 8601 with offset.
    """
    if not events or not _can_sign():
        return tuple(events)
    key = key_at(path, disk)
    public = key.public_key().public_bytes_raw().hex()
    for device in {one.device for one in events}:
        set_key(connection, device, public, at=at)
    return tuple(
        msgspec.structs.replace(
            one, beside=Beside(public, key.sign(signed_text(one.id)).hex(), one.beside.opened)
        )
        for one in events
    )


def _can_sign() -> bool:
    try:
        import cryptography  # noqa: F401 - whether it is there is all that is asked
    except ImportError:
        return False
    return True


def set_key(connection: Connection, device: str, key: str, *, at: str) -> None:
    """Note the key of a device; one that it had before ends.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    device : str
        Its id.
    key : str
        The public key, 64 hexadecimal figures; empty ends the one it has.
    at : str
        Now, ISO 8601 with offset.

    Raises
    ------
    StoreError
        If it is no key.
    """
    if key and not hexadecimal(key, 64):
        raise StoreError("a device's key has 64 figures of hexadecimal, small letters")
    now = [one for one in keys_in(connection, device) if not one.until]
    if [one.key for one in now] == ([key] if key else []):
        return
    mine = device_key.c.device == device
    connection.execute(device_key.update().where(mine, device_key.c.until == "").values(until=at))
    if key:
        keep_keys(connection, [DeviceKey(device, key, at)])


def keep_keys(connection: Connection, keys: Iterable[DeviceKey]) -> None:
    """Write keys that are not there yet, as another record tells them.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    keys : iterable of DeviceKey
        Any.
    """
    there = set(keys_in(connection))
    new = [one for one in dict.fromkeys(keys) if one not in there]
    if new:
        connection.execute(device_key.insert(), [msgspec.structs.asdict(one) for one in new])


def keys_in(connection: Connection, device: str | None = None) -> tuple[DeviceKey, ...]:
    """Return the keys of a device, or of all, in the order in which they were told.

    Parameters
    ----------
    connection : Connection
        Of the record.
    device : str, optional
        Its id.
    """
    chosen = select(device_key).order_by(device_key.c.n)
    if device is not None:
        chosen = chosen.where(device_key.c.device == device)
    return tuple(
        DeviceKey(row.device, row.key, row.since, row.until) for row in connection.execute(chosen)
    )

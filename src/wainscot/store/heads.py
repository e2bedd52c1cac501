"""Heads of a record: made, signed with the record's own key, kept.

The key is an Ed25519 key (RFC 8032) beside the SQLite file, made at the first head.  It is in no
backup, so a stolen backup cannot sign; a record that was restored gets another.

Limits: signing needs ``cryptography`` (``pip install 'wainscot[proof]'``); checking needs nothing.
Whoever can read the folder can sign.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import Connection, select

from wainscot.record import Head, instant, leaf_of, tree
from wainscot.store.faults import StoreError
from wainscot.store.keys import key_at
from wainscot.store.signatures import good
from wainscot.store.tables import event, head

if TYPE_CHECKING:
    from wainscot.store.store import Store


def give_head(store: Store, *, now: str) -> Head:
    """Return a signed head of all that has arrived, and keep it.

    Where nothing arrived since the last one, that is given again, so that the same paper printed
    twice is the same.

    Parameters
    ----------
    store : Store
        The record.
    now : str
        ISO 8601 with offset.

    Raises
    ------
    StoreError
        If nothing has arrived yet, or what signs is not installed.
    """
    instant(now)
    with store.database.writing() as connection:
        key = key_at(store.layout.key, store.disk)
        public = key.public_key().public_bytes_raw().hex()
        leaves = leaves_of(connection)
        if not leaves:
            raise StoreError("the record holds no event yet; there is nothing to give a head of")
        bare = Head(len(leaves), tree.root(leaves).hex(), now, public)
        last = next(iter(kept_in(connection)[::-1]), None)
        if last and (last.size, last.root, last.key) == (bare.size, bare.root, bare.key):
            return last
        made = Head(bare.size, bare.root, now, public, key.sign(bare.signed).hex())
        keep(connection, made)
    return made


def heads(store: Store) -> tuple[Head, ...]:
    """Return the heads that a record gave out, in their order.

    Parameters
    ----------
    store : Store
        The record.
    """
    with store.database.reading() as connection:
        return kept_in(connection)


def keep(connection: Connection, one: Head) -> None:
    """Write a head into the record, inside a transaction that the caller holds.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    one : Head
        Signed.
    """
    row = {"size": one.size, "root": one.root, "time": one.time, "key": one.key}
    connection.execute(head.insert(), [{**row, "signature": one.signature}])


def leaves_of(connection: Connection) -> list[bytes]:
    """Return the leaf hash of every event in order of arrival.

    Parameters
    ----------
    connection : Connection
        Of the record.
    """
    chosen = select(event.c.id, event.c.received, event.c.skew).order_by(event.c.n)
    return [
        tree.leaf_hash(leaf_of(row.id, row.received, row.skew))
        for row in connection.execute(chosen)
    ]


def kept_in(connection: Connection) -> tuple[Head, ...]:
    """Return the heads that a record gave out, in their order.

    Parameters
    ----------
    connection : Connection
        Of the record.
    """
    chosen = select(head).order_by(head.c.n)
    return tuple(
        Head(row.size, row.root, row.time, row.key, row.signature)
        for row in connection.execute(chosen)
    )


def signature_good(one: Head) -> bool:
    """Whether a head is signed by the key that it names.

    Parameters
    ----------
    one : Head
        Any head.
    """
    return good(one.key, one.signed, one.signature)

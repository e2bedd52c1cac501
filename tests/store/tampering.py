"""Ways to tamper with a record for somebody who may write its database and holds its key.

Each takes the open database, the key's file and a source of chance, and changes something that had
arrived.  Shared with ``python -m study tampering``.
"""

from __future__ import annotations

import hashlib
import json
import random
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import load_pem_private_key

from wainscot.record import Head, canonical, event_id, leaf_of, signed_text, tree

Attack = Callable[[sqlite3.Connection, Path, random.Random], None]


def _rows(db: sqlite3.Connection) -> list[tuple[Any, ...]]:
    return db.execute("SELECT n, id, body, received, skew FROM event ORDER BY n").fetchall()


def _pick(db: sqlite3.Connection, chance: random.Random) -> tuple[int, str, dict[str, Any]]:
    n, name, body, _, _ = chance.choice(_rows(db))
    return n, name, json.loads(body)


def _changed(content: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    """Return an event that says something else, under its old id."""
    made = dict(content)
    which = chance.choice(("value", "at", "entity", "more"))
    if which == "value" and made["kind"] != "withdraw":
        made["value"] = {"kind": "room", "name": f"other {chance.random()}"}
        made["value"] = made["value"] if made["kind"] == "add" else "another word"
    elif which == "at":
        made["at"] = f"2025-03-13T{chance.randrange(24):02d}:00:00+00:00"
    elif which == "entity":
        made["entity"] = f"room_{chance.randrange(100, 200)}"
    else:
        made["note"] = str(chance.random())
    return made


def _put(db: sqlite3.Connection, n: int, content: dict[str, Any]) -> None:
    db.execute(
        "UPDATE event SET id = ?, job = ?, device = ?, seq = ?, prev = ?, body = ? WHERE n = ?",
        (
            *(content[name] for name in ("id", "job", "device", "seq", "prev")),
            canonical(content),
            n,
        ),
    )


def _new_id(content: dict[str, Any]) -> dict[str, Any]:
    return {**content, "id": event_id(content)}


def alter(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Change a word and leave the id."""
    n, _name, content = _pick(db, chance)
    _put(db, n, _changed(content, chance))


def alter_with_id(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Change a word and make the id fit."""
    n, _name, content = _pick(db, chance)
    _put(db, n, _new_id(_changed(content, chance)))


def alter_and_mend(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Change a word, make the id fit and mend all that names it."""
    _n, name, content = _pick(db, chance)
    _mend(db, {name: _new_id(_changed(content, chance))})


def _mend(db: sqlite3.Connection, made: dict[str, dict[str, Any]]) -> None:
    """Write events anew so that nothing names an old id; by device and number."""
    renamed = {}
    rows = [(n, json.loads(body)) for n, _, body, _, _ in _rows(db)]
    for n, old in sorted(rows, key=lambda one: (one[1]["device"], one[1]["seq"])):
        content = made.get(old["id"], old)
        content = {
            **content,
            "prev": renamed.get(content["prev"], content["prev"]),
            "supersedes": sorted(renamed.get(one, one) for one in content["supersedes"]),
        }
        content = _new_id(content)
        renamed[old["id"]] = content["id"]
        if content != old:
            _put(db, n, content)


def take_out(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Take an event out."""
    n, _name, _content = _pick(db, chance)
    db.execute("DELETE FROM event WHERE n = ?", (n,))


def take_out_and_mend(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Take an event out, close the numbers of arrival and mend its device's chain."""
    n, name, content = _pick(db, chance)
    db.execute("DELETE FROM event WHERE n = ?", (n,))
    _close(db)
    made = {}
    for _n, other, body, _, _ in _rows(db):
        read = json.loads(body)
        if read["device"] == content["device"] and read["seq"] > content["seq"]:
            before = content["prev"] if read["prev"] == name else read["prev"]
            made[other] = {**read, "seq": read["seq"] - 1, "prev": before}
    _mend(db, made)


def _close(db: sqlite3.Connection) -> None:
    for place, (n, *_) in enumerate(_rows(db), start=1):
        db.execute("UPDATE event SET n = ? WHERE n = ?", (place, n))


def slip_in(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Put an event in between, as if it had arrived then; its own device, a sound chain."""
    rows = _rows(db)
    place = chance.randrange(1, len(rows) + 1)
    for n, *_rest in reversed(rows[place - 1 :]):
        db.execute("UPDATE event SET n = ? WHERE n = ?", (n + 1, n))
    content = _new_id({
        "schema": 1, "job": "job_a", "device": f"ghost-{chance.random()}", "seq": 1, "prev": "",
        "at": "2025-03-14T09:00:00+00:00", "kind": "set", "entity": "", "field": "title",
        "value": "as if", "supersedes": [],
    })  # fmt: skip
    db.execute(
        "INSERT INTO event (n, id, job, device, seq, prev, body, received) "
        "VALUES (?, 'new', '', '', 0, '', '', ?)", (place, rows[place - 1][3]),
    )  # fmt: skip
    _put(db, place, content)


def swap(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Swap two events in the order of arrival."""
    (first, *_a), (second, *_b) = chance.sample(_rows(db), 2)
    for old, new in ((first, -1), (second, first), (-1, second)):
        db.execute("UPDATE event SET n = ? WHERE n = ?", (new, old))


def arrived_earlier(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Say that an event arrived at another time."""
    n, *_rest = _pick(db, chance)
    told = f"2025-03-{chance.randrange(1, 13):02d}T08:00:00+00:00"
    db.execute("UPDATE event SET received = ? WHERE n = ?", (told, n))


def other_skew(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Say that a device's clock was off by something else."""
    n, *_rest = _pick(db, chance)
    db.execute("UPDATE event SET skew = ? WHERE n = ?", (chance.uniform(1, 9999), n))


def other_column(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Put an event under another job, device or number, its line untouched."""
    n, *_rest = _pick(db, chance)
    column = chance.choice(("job", "device", "seq", "prev"))
    db.execute(f"UPDATE event SET {column} = ? WHERE n = ?", (chance.randrange(900, 999), n))


def other_bytes(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Write the same event in other bytes."""
    n, _name, content = _pick(db, chance)
    db.execute("UPDATE event SET body = ? WHERE n = ?", (json.dumps(content).encode(), n))


def flip(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Flip one bit of a line."""
    n, _name, body, _, _ = chance.choice(_rows(db))
    made = bytearray(body)
    made[chance.randrange(len(made))] ^= 1 << chance.randrange(8)
    db.execute("UPDATE event SET body = ? WHERE n = ?", (bytes(made), n))


def cut(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Cut the tail off, with the heads that were over it."""
    left = chance.randrange(1, len(_rows(db)))
    db.execute("DELETE FROM event WHERE n > ?", (left,))
    db.execute("DELETE FROM head WHERE size > ?", (left,))


def all_anew(db: sqlite3.Connection, key: Path, chance: random.Random) -> None:
    """Change a word, mend every chain, and sign every head anew with the record's own key."""
    alter_and_mend(db, key, chance)
    _sign_anew(db, load_pem_private_key(key.read_bytes(), None))


def all_anew_by_another_key(db: sqlite3.Connection, key: Path, chance: random.Random) -> None:
    """The same with a key of the attacker's."""
    take_out_and_mend(db, key, chance)
    db.execute("DELETE FROM head WHERE size > (SELECT count(*) FROM event)")
    _sign_anew(db, Ed25519PrivateKey.from_private_bytes(chance.randbytes(32)))


def _sign_anew(db: sqlite3.Connection, key: Any) -> None:
    public = key.public_key().public_bytes_raw().hex()
    leaves = [tree.leaf_hash(leaf_of(name, at, skew)) for _, name, _, at, skew in _rows(db)]
    for n, size, time in db.execute("SELECT n, size, time FROM head").fetchall():
        bare = Head(size, tree.root(leaves[:size]).hex(), time, public)
        db.execute("UPDATE head SET root = ?, key = ?, signature = ? WHERE n = ?",
                   (bare.root, public, key.sign(bare.signed).hex(), n))  # fmt: skip


def other_head(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Change something in a head that is kept."""
    n, size = chance.choice(db.execute("SELECT n, size FROM head").fetchall())
    column = chance.choice(("size", "root", "time", "key", "signature"))
    told: Any = {"size": size + chance.randrange(1, 9), "time": "2025-03-01T00:00:00+00:00"}.get(
        column
    )
    if told is None:
        told = hashlib.sha256(chance.randbytes(8)).hexdigest() * (2 if column == "signature" else 1)
    db.execute(f"UPDATE head SET {column} = ? WHERE n = ?", (told, n))


def no_head(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Take the heads away."""
    db.execute("DELETE FROM head")


def shown_otherwise(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Leave the events and change the job as it is kept for showing."""
    [(body,)] = db.execute("SELECT body FROM folded").fetchall()
    job = json.loads(body)
    job["title"] = str(chance.random())
    db.execute("UPDATE folded SET body = ?", (json.dumps(job).encode(),))


def false_signature(db: sqlite3.Connection, key: Path, chance: random.Random) -> None:
    """Put a signature beside an event that is somebody's for another."""
    (n, *_rest), (_n, other, *_more) = chance.sample(_rows(db), 2)
    made = load_pem_private_key(key.read_bytes(), None)
    assert isinstance(made, Ed25519PrivateKey)
    public = made.public_key().public_bytes_raw().hex()
    _beside(db, n, {"key": public, "signature": made.sign(signed_text(other)).hex()})


def false_text(db: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Put a personal text beside an event that it does not name."""
    n, *_rest = _pick(db, chance)
    salt = chance.randbytes(32)
    name = hashlib.sha256(salt + b'"Ana"').hexdigest()
    _beside(db, n, {"opened": {name: [salt.hex(), "Ana"]}})


def _beside(db: sqlite3.Connection, n: int, beside: dict[str, Any]) -> None:
    db.execute("UPDATE event SET beside = ? WHERE n = ?", (canonical(beside), n))


ATTACKS: dict[str, Attack] = {
    one.__name__: one
    for one in (alter, alter_with_id, alter_and_mend, take_out, take_out_and_mend, slip_in, swap,
                arrived_earlier, other_skew, other_column, other_bytes, flip, cut, all_anew,
                all_anew_by_another_key, other_head, no_head, shown_otherwise,
                false_signature, false_text)
}  # fmt: skip


def proofs_refused(count: int, chance: random.Random) -> tuple[int, int]:
    """Mutate so many proofs; return how many were tried and how many were taken all the same.

    Half prove a leaf, half a beginning.  A node, the leaf, a root, the place, the length or the
    order is changed.  The number of leaves is not: a head's signature binds it, not the proof.
    """
    accepted = 0
    for n in range(count):
        leaves = [tree.leaf_hash(chance.randbytes(4)) for _ in range(chance.randrange(2, 65))]
        accepted += (_leaf_taken if n % 2 else _beginning_taken)(leaves, chance)
    return count, accepted


def _mutated(proof: list[bytes], others: list[bytes], chance: random.Random) -> list[bytes]:
    """Return nodes that differ from a proof: a bit, one less, one more, two swapped."""
    made = list(proof)
    kind = chance.randrange(4)
    if kind == 0 and made:
        k = chance.randrange(len(made))
        made[k] = _flipped(made[k], chance)
    elif kind == 1 and made:
        del made[chance.randrange(len(made))]
    elif kind == 2 and len(made) > 1:
        a, b = chance.sample(range(len(made)), 2)
        made[a], made[b] = made[b], made[a]
    else:
        made.insert(chance.randrange(len(made) + 1), chance.choice(others))
    return made


def _flipped(node: bytes, chance: random.Random) -> bytes:
    made = bytearray(node)
    made[chance.randrange(32)] ^= 1 << chance.randrange(8)
    return bytes(made)


def _leaf_taken(leaves: list[bytes], chance: random.Random) -> bool:
    size, index, top = len(leaves), chance.randrange(len(leaves)), tree.root(leaves)
    proof, leaf = list(tree.inclusion(leaves, index)), leaves[index]
    assert tree.in_it(leaf, index, size, proof, top)
    kind = chance.randrange(4)
    if kind == 0:
        leaf = _flipped(leaf, chance)
    elif kind == 1:
        top = _flipped(top, chance)
    elif kind == 2:
        index = chance.choice([one for one in range(-1, size + 1) if one != index])
    else:
        proof = _mutated(proof, leaves, chance)
    return tree.in_it(leaf, index, size, proof, top)


def _beginning_taken(leaves: list[bytes], chance: random.Random) -> bool:
    size, first = len(leaves), chance.randrange(1, len(leaves))
    proof, old, new = (
        list(tree.consistency(leaves, first)),
        tree.root(leaves[:first]),
        tree.root(leaves),
    )
    assert tree.goes_on(first, size, proof, old, new)
    kind = chance.randrange(3)
    if kind == 0:
        old = _flipped(old, chance)
    elif kind == 1:
        new = _flipped(new, chance)
    else:
        proof = _mutated(proof, leaves, chance)
    return tree.goes_on(first, size, proof, old, new)

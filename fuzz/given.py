"""What the targets begin with: a demo house, and a record of it with signatures, photo and head.

Keys and times are fixed, so that a run has the same inputs as the one before.
"""

from __future__ import annotations

import hashlib
import json
import tempfile
import zipfile
from functools import cache
from importlib.resources import files
from pathlib import Path

import msgspec
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

from wainscot.job import Job
from wainscot.record import Beside, Event, Head, cover, diff, event, sent_of, signed_text
from wainscot.store import Layout, Store, export_everything, give_head

NOW = "2025-03-14T10:00:00+00:00"
_KEY = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
_LIST, _VERIFIER = "manifest.json", "verify.py"
"""Members of a file with everything: the list, which is written anew, and one that is no input."""


def demo(name: str) -> bytes:
    """Return the job file of a demo house."""
    return files("wainscot.demos").joinpath(f"{name}.json").read_bytes()


def named(name: str, content: bytes) -> bytes:
    """Return an input of two parts: a name that chooses what it is for, a line end, the content."""
    return name.encode() + b"\n" + content


def lines(*events: Event) -> bytes:
    """Return events as they are sent, a line each."""
    return b"".join(sent_of(one) + b"\n" for one in events)


@cache
def few() -> tuple[Event, ...]:
    """Return a few signed events: rooms, a name from another device, personal texts, one gone."""
    rooms = {"r": {"kind": "room", "name": "A"}, "s": {"kind": "room", "name": "B"}}
    edited = Job(id="job_a", title="Mill", units="ft-in", entities=rooms)
    made = diff(Job(id="job_a"), edited, device="van", seq=1, prev="", at=NOW)
    last = made[-1]
    text, opened = cover({"kind": "call", "caller": "Somebody"}, salt=lambda: "ab" * 32)
    personal = event("add", job="job_a", device="van", seq=last.seq + 1, prev=last.id, at=NOW,
                     entity="call", value=text, opened=opened, elapsed=5)  # fmt: skip
    other = event("set", job="job_a", device="shed", seq=1, prev="", at="2025-03-14T12:00+02:00",
                  entity="r", field="name", value="C", supersedes=(made[-1].id,))  # fmt: skip
    gone = event("withdraw", job="job_a", device="shed", seq=2, prev=other.id, at=NOW, entity="s")
    return tuple(_signed(one) for one in (*made, personal, other, gone))


def _signed(one: Event) -> Event:
    key = _KEY.public_key().public_bytes_raw().hex()
    beside = Beside(key, _KEY.sign(signed_text(one.id)).hex(), one.beside.opened)
    return msgspec.structs.replace(one, beside=beside)


@cache
def record() -> tuple[dict[str, bytes], Head]:
    """Return the members of a file with everything, and the head that was given out of it."""
    with tempfile.TemporaryDirectory(prefix="wainscot-") as place:
        store = Store.create(Path(place) / "record", device="office")
        pem = _KEY.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
        Layout(Path(place) / "record").key.write_bytes(pem)
        store.append([*lines(*few()).splitlines(), b"no event"], received=NOW, skew=0.25)
        store.blobs.put(b"a photo", received=NOW)
        head = give_head(store, now=NOW)
        file = Path(place) / "all.zip"
        export_everything(store, file, now=NOW)
        store.close()
        with zipfile.ZipFile(file) as packed:
            return {name: packed.read(name) for name in packed.namelist()}, head


def seeds_of_record() -> list[bytes]:
    """Return an input for each member of the file with everything, and one that is the file."""
    members = record()[0]
    inputs = [named(name, members[name]) for name in members if name != _VERIFIER]
    return [*inputs, named("file", packed({}))]


def packed(changed: dict[str, bytes]) -> bytes:
    """Return the file with everything where some members are others, its list made to fit."""
    with tempfile.TemporaryFile() as file:
        members = {**record()[0], **changed}
        with zipfile.ZipFile(file, "w") as made:
            for name, content in members.items():
                if name != _LIST:
                    made.writestr(zipfile.ZipInfo(name), content)
            made.writestr(zipfile.ZipInfo(_LIST), _list(members, changed))
        file.seek(0)
        return file.read()


def _list(members: dict[str, bytes], changed: dict[str, bytes]) -> bytes:
    if _LIST in changed:
        return changed[_LIST]
    told = json.loads(members[_LIST])
    told["members"] = {
        name: {"size": len(content), "sha256": hashlib.sha256(content).hexdigest()}
        for name, content in members.items() if name != _LIST
    }  # fmt: skip
    return json.dumps(told).encode()


def file_of(data: bytes) -> bytes:
    """Return the file with everything that an input stands for (see :func:`seeds_of_record`)."""
    name, _, content = data.partition(b"\n")
    chosen = name.decode("latin-1")
    if chosen == "file":
        return content
    known = [one for one in record()[0] if one != _VERIFIER]
    return packed({chosen if chosen in known else "events.jsonl": content})

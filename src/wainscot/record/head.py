"""A signed head: how many events a record held at a moment, the root over them, whose key says so.

A head that was given out (printed, sent, photographed) pins everything that had arrived by then.

>>> head = Head(2, "ab" * 32, "2025-03-14T09:30:00+00:00", "cd" * 32, "ef" * 64)
>>> head_of(text_of(head)) == head
True
>>> head_of("2 " + "ab" * 32).size      # typed off a paper: size and root will do
2

Limits: says nothing of what arrived later.  A signature says that whoever held the key made the
head, not who that was.
"""

from __future__ import annotations

import hashlib
import re

import msgspec

from wainscot.record.event import instant
from wainscot.record.form import RecordError, canonical

WORD = "WAINSCOT-HEAD-1"
"""What the text of a head begins with."""

_SHORT = re.compile(r"(\d{1,15})\s+((?:[0-9a-f]{64})|(?:[0-9a-f]{4}\s+){15}[0-9a-f]{4})")
_FULL = re.compile(WORD.lower() + r"\s+(\d{1,15})\s+([0-9a-f]{64})\s+(\S+)\s+([0-9a-f]{64})"
                   r"\s+([0-9a-f]{128})")  # fmt: skip


class Head(msgspec.Struct, frozen=True):
    """A tree head.

    ``root``, ``key`` (the public Ed25519 key) and ``signature`` are hexadecimal; the last two are
    empty where only size and root were typed off a paper.
    """

    size: int
    root: str
    time: str = ""
    """When it was given out, ISO 8601 with offset."""
    key: str = ""
    signature: str = ""

    @property
    def signed(self) -> bytes:
        """The bytes that are signed."""
        return f"wainscot head 1\n{self.size}\n{self.root}\n{self.time}\n{self.key}\n".encode()


def leaf_of(event_id: str, received: str, skew: float | None) -> bytes:
    """Return the line that stands in the tree for an event: its id, when it arrived, clock skew.

    Parameters
    ----------
    event_id : str
        Hash of its content.
    received : str
        ISO 8601 with offset.
    skew : float or None
        Receiver's clock less sender's. [s]
    """
    return canonical({"id": event_id, "received": received, "skew": skew})


def key_name(key: str) -> str:
    """Return the short name of a public key: sixteen figures of its SHA-256, in fours.

    Parameters
    ----------
    key : str
        Hexadecimal.
    """
    return grouped(hashlib.sha256(bytes.fromhex(key)).hexdigest()[:16])


def grouped(figures: str) -> str:
    """Return hexadecimal figures in fours, so that a person can compare them."""
    return " ".join(figures[n : n + 4] for n in range(0, len(figures), 4))


def text_of(head: Head) -> str:
    """Return a signed head as one line for a QR code; capitals, so that the code stays small.

    Parameters
    ----------
    head : Head
        Signed.
    """
    parts = (WORD, str(head.size), head.root, head.time, head.key, head.signature)
    return " ".join(parts).upper()


def paper_lines(head: Head) -> tuple[str, str, str]:
    """Return what a paper prints of a head: size and time, root, key.

    Parameters
    ----------
    head : Head
        Signed.
    """
    return (
        f"Record: {head.size} events, head of {head.time}",
        f"root {grouped(head.root)}",
        f"key {key_name(head.key)}",
    )


def head_of(text: str) -> Head:
    """Return the head that a text holds: as :func:`text_of` gives it, or size and root.

    Parameters
    ----------
    text : str
        Capitals or not, any white space between.

    Raises
    ------
    RecordError
        If it is none.
    """
    plain = " ".join(text.split()).lower()
    if found := _FULL.fullmatch(plain):
        size, root, time, key, signature = found.groups()
        instant(time.upper())
        return Head(int(size), root, time.upper(), key, signature)
    if found := _SHORT.fullmatch(plain):
        return Head(int(found[1]), found[2].replace(" ", ""))
    raise RecordError(
        f"{text[:40]!r} is no head; give the text of its QR code, or the number of events and the "
        "64 figures of the root"
    )

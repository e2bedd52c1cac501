"""Texts of heads, and proofs that a line is in a tree or that a list goes on from a shorter one."""

from __future__ import annotations

import contextlib
from functools import cache

from fuzz.given import named, record
from wainscot.record import RecordError, head_of, text_of, tree

_MANY = 13


@cache
def _leaves() -> list[bytes]:
    return [tree.leaf_hash(bytes([n])) for n in range(_MANY)]


def seeds() -> list[bytes]:
    """Return a head as its code and as it is typed, and true proofs of several sizes."""
    head = record()[1]
    texts = [text_of(head), f"{head.size} {head.root}"]
    inside = [bytes([n, _MANY]) + b"".join(tree.inclusion(_leaves(), n)) for n in (0, 5, 12)]
    goes = [bytes([n, _MANY]) + b"".join(tree.consistency(_leaves(), n)) for n in (1, 6, 8, 13)]
    return [
        *(named("head", one.encode()) for one in texts),
        *(named("in", one) for one in inside), *(named("on", one) for one in goes),
    ]  # fmt: skip


def one(data: bytes) -> None:
    """Read a head; or judge a proof, which holds only where it is the one that the tree gives."""
    kind, _, content = data.partition(b"\n")
    if kind == b"head":
        _head(content.decode("utf-8", "replace"))
    elif len(content) >= 2:
        _proof(kind, content[0], content[1], content[2:])


def _head(text: str) -> None:
    with contextlib.suppress(RecordError):
        head = head_of(text)
        assert head_of(text_of(head) if head.key else f"{head.size} {head.root}") == head


def _proof(kind: bytes, first: int, size: int, rest: bytes) -> None:
    parts = tuple(rest[n : n + 32] for n in range(0, len(rest), 32))
    leaves = _leaves()
    if kind == b"in":
        leaf = leaves[first % _MANY]
        if tree.in_it(leaf, first, size, parts, tree.root(leaves)) and size == _MANY:
            assert first < _MANY
            assert parts == tree.inclusion(leaves, first)
    else:
        began = tree.root(leaves[:first])
        if tree.goes_on(first, size, parts, began, tree.root(leaves)) and size == _MANY:
            assert first <= _MANY
            assert parts == tree.consistency(leaves, first)

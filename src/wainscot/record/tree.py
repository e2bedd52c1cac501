"""A hash tree over lines in their order, as in Certificate Transparency (RFC 9162, section 2.1).

Its root names every line and its place: change, take out, add or swap one, and the root is another.
A short proof shows that one line is in it, or that a longer list begins with a shorter one.

>>> leaves = [leaf_hash(one) for one in (b"a", b"b", b"c")]
>>> in_it(leaves[1], 1, 3, inclusion(leaves, 1), root(leaves))
True
>>> goes_on(2, 3, consistency(leaves, 2), root(leaves[:2]), root(leaves))
True

Limits: a proof does not bind the number of leaves by itself; whoever checks takes it from a signed
head.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence

EMPTY = hashlib.sha256().digest()
"""Root of no leaves."""


def leaf_hash(data: bytes) -> bytes:
    """Return the hash of a line as a leaf."""
    return hashlib.sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """Return the hash of two halves."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def roots(leaves: Iterable[bytes], sizes: Iterable[int]) -> dict[int, bytes]:
    """Return the root of the first so many leaves for each size that there are leaves for.

    Parameters
    ----------
    leaves : iterable of bytes
        Leaf hashes in their order.
    sizes : iterable of int
        How many of them; sizes below 0 or beyond the end are left out.
    """
    wanted = set(sizes)
    found = {0: EMPTY} if 0 in wanted else {}
    whole: list[tuple[int, bytes]] = []  # complete trees from the left, each smaller than the last
    for size, leaf in enumerate(leaves, start=1):
        width, last = 1, leaf
        while whole and whole[-1][0] == width:
            last = node_hash(whole.pop()[1], last)
            width *= 2
        whole.append((width, last))
        if size in wanted:
            found[size] = _joined([one for _, one in whole])
    return found


def root(leaves: Sequence[bytes]) -> bytes:
    """Return the root of all leaves.

    Parameters
    ----------
    leaves : sequence of bytes
        Leaf hashes in their order.
    """
    return roots(leaves, [len(leaves)])[len(leaves)]


def _joined(parts: Sequence[bytes]) -> bytes:
    joined = parts[-1]
    for one in reversed(parts[:-1]):
        joined = node_hash(one, joined)
    return joined


def _split(size: int) -> int:
    """Return the largest power of two below a size of at least two."""
    return 1 << ((size - 1).bit_length() - 1)


def inclusion(leaves: Sequence[bytes], index: int) -> tuple[bytes, ...]:
    """Return the proof that a leaf stands where it does (RFC 9162, 2.1.3.1).

    Parameters
    ----------
    leaves : sequence of bytes
        Leaf hashes in their order.
    index : int
        Which, from 0.

    Raises
    ------
    IndexError
        If there is no such leaf.
    """
    if not 0 <= index < len(leaves):
        raise IndexError(f"no leaf {index} among {len(leaves)}")
    if len(leaves) == 1:
        return ()
    split = _split(len(leaves))
    left, right = leaves[:split], leaves[split:]
    if index < split:
        return (*inclusion(left, index), root(right))
    return (*inclusion(right, index - split), root(left))


def consistency(leaves: Sequence[bytes], first: int) -> tuple[bytes, ...]:
    """Return the proof that all leaves begin with the first so many (RFC 9162, 2.1.4.1).

    Parameters
    ----------
    leaves : sequence of bytes
        Leaf hashes in their order.
    first : int
        How many there were; the proof is empty for none and for all.

    Raises
    ------
    IndexError
        If there are not so many.
    """
    if not 0 <= first <= len(leaves):
        raise IndexError(f"no {first} leaves among {len(leaves)}")
    return _below(leaves, first, known=True) if first else ()


def _below(leaves: Sequence[bytes], first: int, *, known: bool) -> tuple[bytes, ...]:
    if first == len(leaves):
        return () if known else (root(leaves),)
    split = _split(len(leaves))
    left, right = leaves[:split], leaves[split:]
    if first <= split:
        return (*_below(left, first, known=known), root(right))
    return (*_below(right, first - split, known=False), root(left))


def in_it(leaf: bytes, index: int, size: int, proof: Sequence[bytes], root: bytes) -> bool:
    """Whether a proof shows that a leaf stands at a place (RFC 9162, 2.1.3.2).

    Parameters
    ----------
    leaf : bytes
        Its hash.
    index, size : int
        Its place from 0, and how many leaves there are.
    proof : sequence of bytes
        As :func:`inclusion` gives it.
    root : bytes
        Of all leaves.
    """
    if not 0 <= index < size:
        return False
    place, last, found = index, size - 1, leaf
    for one in proof:
        if last == 0:
            return False
        if place & 1 or place == last:
            found = node_hash(one, found)
            while not place & 1 and place:
                place, last = place >> 1, last >> 1
        else:
            found = node_hash(found, one)
        place, last = place >> 1, last >> 1
    return last == 0 and found == root


def goes_on(
    first: int, second: int, proof: Sequence[bytes], first_root: bytes, second_root: bytes
) -> bool:
    """Whether a proof shows that a tree begins with a smaller one (RFC 9162, 2.1.4.2).

    Parameters
    ----------
    first, second : int
        Leaves then and now.
    proof : sequence of bytes
        As :func:`consistency` gives it.
    first_root, second_root : bytes
        Roots then and now.
    """
    if not 0 <= first <= second:
        return False
    if first in (0, second):
        return not proof and first_root == (EMPTY if first == 0 else second_root)
    path = list(proof) if first & (first - 1) else [first_root, *proof]
    if not proof or not path:
        return False
    place, last = first - 1, second - 1
    while place & 1:
        place, last = place >> 1, last >> 1
    old = new = path[0]
    for one in path[1:]:
        if last == 0:
            return False
        if place & 1 or place == last:
            old, new = node_hash(one, old), node_hash(one, new)
            while not place & 1 and place:
                place, last = place >> 1, last >> 1
        else:
            new = node_hash(new, one)
        place, last = place >> 1, last >> 1
    return last == 0 and old == first_root and new == second_root

"""What holds of every hash tree, beside the definition of RFC 9162 written down as it stands."""

from __future__ import annotations

import hashlib

from hypothesis import given, settings
from hypothesis import strategies as st

from wainscot.record import tree


def oracle(data: list[bytes]) -> bytes:
    """Return MTH(D[n]) as RFC 9162, section 2.1.1, defines it, by recursion on the inputs."""
    if not data:
        return hashlib.sha256().digest()
    if len(data) == 1:
        return hashlib.sha256(b"\x00" + data[0]).digest()
    k = max(2**n for n in range(len(data).bit_length() + 1) if 2**n < len(data))
    return hashlib.sha256(b"\x01" + oracle(data[:k]) + oracle(data[k:])).digest()


lists = st.lists(st.binary(max_size=3), max_size=40)


@settings(max_examples=60, deadline=None)
@given(lists)
def test_roots_are_those_of_the_definition(data: list[bytes]) -> None:
    leaves = [tree.leaf_hash(one) for one in data]
    wanted = {size: oracle(data[:size]) for size in range(len(data) + 1)}
    assert tree.roots(leaves, wanted) == wanted


@settings(max_examples=60, deadline=None)
@given(lists.filter(bool), st.data())
def test_every_leaf_has_its_proof_and_no_other_place_takes_it(
    data: list[bytes], drawn: st.DataObject
) -> None:
    leaves = [tree.leaf_hash(b"%d %s" % (n, one)) for n, one in enumerate(data)]
    size, top = len(leaves), tree.root(leaves)
    index = drawn.draw(st.integers(0, size - 1))
    proof = tree.inclusion(leaves, index)
    assert [
        n for n in range(-1, size + 1) if tree.in_it(leaves[index], n, size, proof, top)
    ] == [index]  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(lists, st.data())
def test_every_beginning_has_its_proof_and_another_beginning_has_none(
    data: list[bytes], drawn: st.DataObject
) -> None:
    leaves = [tree.leaf_hash(b"%d %s" % (n, one)) for n, one in enumerate(data)]
    first = drawn.draw(st.integers(0, len(leaves)))
    proof, old, new = tree.consistency(leaves, first), tree.root(leaves[:first]), tree.root(leaves)
    assert tree.goes_on(first, len(leaves), proof, old, new)
    other = tree.leaf_hash(b"other")
    assert not tree.goes_on(first, len(leaves), proof, other, new)
    if 0 < first < len(leaves):
        assert not tree.goes_on(first, len(leaves), proof, old, other)
        assert not tree.goes_on(first, len(leaves), proof[:-1], old, new)
        assert not tree.goes_on(first, len(leaves), (*proof, other), old, new)

"""Order, labels and words of voids: by id, so that no list order shows.

>>> sorted(["k/bay/10", "k/bay/9", "k/bay/-1"], key=natural)
['k/bay/-1', 'k/bay/9', 'k/bay/10']

A label may already be written on a wall in pencil, so it must not change.  An entity of the kind
``labels`` keeps those that were given (``wainscot validate --fix`` writes it).  What it does not
name gets a letter and a number that no edit elsewhere changes: the bays of one wall or floor share
blocks of ten whose start follows from their owner's id alone, and within a block the number is the
bay's own module index.  What is left below sills and above heads, and further parts of a bay, have
blocks of their own.

Limits: where two owners would start at the same number the one whose id sorts last moves on, so
that, until labels are kept, a new owner may still push one other; far larger houses get longer
numbers.
"""

from __future__ import annotations

import re
import zlib
from collections import Counter
from collections.abc import Mapping, Sequence

import msgspec

from wainscot.voids.space import Space

_NUMBER = re.compile(r"(-?\d+)")
_BAY = re.compile(r".*bay/(-?\d+)((?:/.*)?)")
BLOCK = 10
"""Numbers of a block of bays; a long wall takes several."""

Member = tuple[int, int, str]
"""A space by index, its number within the block, letters after it."""


class Block(msgspec.Struct, frozen=True):
    """Some spaces of one owner that are numbered together."""

    parts: bool
    """True for parts of bays: below a sill, above a head, beyond a girder."""
    number: int
    owner: str

    @property
    def text(self) -> str:
        """What its first number follows from."""
        first = not self.parts and self.number == 0
        return self.owner if first else f"{self.owner}#{int(self.parts)}#{self.number}"


def natural(key: str) -> tuple[tuple[int, int, str], ...]:
    """Return a sort key that puts bay 9 before bay 10.

    Parameters
    ----------
    key : str
        A void's id.
    """
    parts = []
    for part in re.split(r"/", key):
        if _NUMBER.fullmatch(part):
            parts.append((0, int(part), ""))
        else:
            parts.append((1, 0, part))
    return tuple(parts)


def labels(spaces: Sequence[Space], given: Mapping[str, str]) -> tuple[str, ...]:
    """Return a short label for each space, unique among them: ``W7``, ``Kitchen``.

    Parameters
    ----------
    spaces : sequence of Space
        Spaces in the order of their ids.
    given : mapping of str to str
        Labels that were given before, by void id; none of them is ever given to another void.
    """
    found = _rooms(spaces)
    taken = set(found.values()) | set(given.values())
    bays: dict[str, dict[str, list[int]]] = {}
    others: dict[str, dict[str, list[int]]] = {}
    for v, space in enumerate(spaces):
        if space.hidden:
            bay = _BAY.fullmatch(space.key) is not None
            owner = space.owner if bay or space.fixture else space.key
            (bays if bay else others).setdefault(space.letter, {}).setdefault(owner, []).append(v)
    for letter in sorted(bays):
        blocks = _bay_blocks(bays[letter], spaces)
        found |= _numbered(letter, BLOCK, blocks, spaces, given, taken)
    for letter in sorted(others):
        ones = {
            Block(False, 0, owner): [
                (v, 0, "" if n == 0 else _letter(n)) for n, v in enumerate(voids)
            ]
            for owner, voids in others[letter].items()
        }
        found |= _numbered(letter, 1, ones, spaces, given, taken)
    return tuple(found[v] for v in range(len(spaces)))


def _rooms(spaces: Sequence[Space]) -> dict[int, str]:
    """Return the rooms' names, numbered where two are called the same."""
    names = Counter(space.words for space in spaces if not space.hidden)
    taken = {name for name, number in names.items() if number == 1}
    counts: Counter[str] = Counter()
    found = {}
    for v, space in enumerate(spaces):
        if space.hidden:
            continue
        label = space.words
        while names[space.words] > 1:
            counts[space.words] += 1
            label = f"{space.words} {counts[space.words]}"
            if label not in taken:
                break
        taken.add(label)
        found[v] = label
    return found


def _bay_blocks(
    owners: Mapping[str, list[int]], spaces: Sequence[Space]
) -> dict[Block, list[Member]]:
    """Return the bays of each owner by tens of their index; parts of bays apart, in their order."""
    found: dict[Block, list[Member]] = {}
    for owner, voids in owners.items():
        parts = 0
        for v in voids:
            match = _BAY.fullmatch(spaces[v].key)
            assert match is not None
            if match[2]:
                block, number = divmod(parts, BLOCK)
                parts += 1
            else:
                block, number = divmod(int(match[1]), BLOCK)
            found.setdefault(Block(bool(match[2]), block, owner), []).append((v, number, ""))
    return found


def _numbered(
    letter: str,
    size: int,
    blocks: Mapping[Block, list[Member]],
    spaces: Sequence[Space],
    given: Mapping[str, str],
    taken: set[str],
) -> dict[int, str]:
    """Return the labels of one letter; where a block starts follows from its id, if that is free.

    First blocks are placed first, so that a wall that grows moves nobody else's first block.
    """
    most = 99 if size > 1 else 9
    while 2 * len(blocks) > most:
        most = 10 * most + 9
    used: set[int] = set()
    found: dict[int, str] = {}
    for block in sorted(blocks, key=lambda one: (one.parts, abs(one.number), natural(one.owner))):
        start = zlib.crc32(block.text.encode()) % most
        while True:
            first = start % most + 1
            texts = {v: f"{letter}{first * size + n}{mark}" for v, n, mark in blocks[block]}
            new = {text for v, text in texts.items() if spaces[v].key not in given}
            if first not in used and not new & taken:
                break
            start += 1
        used.add(first)
        taken |= new
        found |= {v: given.get(spaces[v].key, text) for v, text in texts.items()}
    return found


def _letter(number: int) -> str:
    """Return b for 1, c for 2; z and on have a figure."""
    return chr(ord("a") + number) if number < 25 else f"z{number}"

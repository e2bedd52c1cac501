"""Order, labels and words of voids: by id, so that no list order shows.

>>> sorted(["k/bay/10", "k/bay/9", "k/bay/-1"], key=natural)
['k/bay/-1', 'k/bay/9', 'k/bay/10']

A label is a kind's letter and a number.  The bays of one wall or floor share a block of numbers
whose start follows from their owner's id alone, and within it the number is the bay's own module
index: W41 stays W41 whatever is drawn in other rooms.  ``s`` marks what is left below a sill, ``h``
above a head, ``b``, ``c`` further parts of one bay.

Limits: where two owners would start at the same number the one whose id sorts last moves on, so
that a new owner may still push one other; far larger houses get longer numbers.
"""

from __future__ import annotations

import re
import zlib
from collections import Counter
from collections.abc import Mapping, Sequence

from wainscot.voids.space import Space

_NUMBER = re.compile(r"(-?\d+)")
_BAY = re.compile(r".*bay/(-?\d+)((?:/.*)?)")
BLOCK = 10
"""Numbers of a block of bays; a long wall takes several."""
SUFFIXES = {"below-sill": "s", "above-head": "h"}


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


def labels(spaces: Sequence[Space]) -> tuple[str, ...]:
    """Return a short label for each space, unique among them: ``W7``, ``Kitchen``.

    Parameters
    ----------
    spaces : sequence of Space
        Spaces in the order of their ids.
    """
    found = _rooms(spaces)
    taken = set(found.values())
    groups: dict[tuple[str, bool], dict[str, list[int]]] = {}
    for v, space in enumerate(spaces):
        if space.hidden:
            bay = _BAY.fullmatch(space.key) is not None
            owner = space.owner if bay or space.fixture else space.key
            groups.setdefault((space.letter, bay), {}).setdefault(owner, []).append(v)
    for letter, bays in sorted(groups):
        marks = {
            owner: _bay_marks([spaces[v].key for v in members]) if bays else _marks(len(members))
            for owner, members in groups[letter, bays].items()
        }
        for owner, texts in _placed(letter, BLOCK if bays else 1, marks, taken).items():
            found |= dict(zip(groups[letter, bays][owner], texts, strict=True))
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


def _placed(
    letter: str, block: int, marks: Mapping[str, list[tuple[int, str]]], taken: set[str]
) -> dict[str, list[str]]:
    """Return the labels of each owner; its first block follows from its id where that is free."""
    size = {owner: max(n for n, _ in ones) // block + 1 for owner, ones in marks.items()}
    most = 99 if block > 1 else 9
    while 2 * sum(size.values()) > most:
        most = 10 * most + 9
    used: set[int] = set()
    found = {}
    for owner in sorted(marks, key=natural):
        start = zlib.crc32(owner.encode()) % most
        while True:
            first = start % most + 1
            blocks = set(range(first, first + size[owner]))
            texts = [f"{letter}{first * block + number}{mark}" for number, mark in marks[owner]]
            if not (blocks & used) and not (set(texts) & taken):
                break
            start += 1
        used |= blocks
        taken |= set(texts)
        found[owner] = texts
    return found


def _marks(number: int) -> list[tuple[int, str]]:
    """Return what tells the voids of one owner apart: nothing for the first, then b, c, ..."""
    return [(0, "" if n == 0 else _letter(n)) for n in range(number)]


def _bay_marks(keys: Sequence[str]) -> list[tuple[int, str]]:
    """Return (number within the owner's blocks, letters after it) of each bay of one owner."""
    parts = [match.groups() for key in keys if (match := _BAY.fullmatch(key))]
    least = min(int(index) for index, _ in parts)
    shift = -(least // BLOCK) * BLOCK if least < 0 else 0
    return [
        (int(index) + shift, "".join(_mark(part) for part in rest.split("/") if part))
        for index, rest in parts
    ]


def _mark(part: str) -> str:
    return SUFFIXES.get(part) or (_letter(int(part) - 1) if part.isdigit() else part[:1])


def _letter(number: int) -> str:
    """Return b for 1, c for 2; z and on have a figure."""
    return chr(ord("a") + number) if number < 25 else f"z{number}"

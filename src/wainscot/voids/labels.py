"""Order, labels and words of voids: by id, so that no list order shows.

>>> sorted(["k/bay/10", "k/bay/9", "k/bay/-1"], key=natural)
['k/bay/-1', 'k/bay/9', 'k/bay/10']

A label is a kind's letter and a number, ``W7``, counted in the order of the ids.  Counting alone
would rename W8 when a bay is drawn before it, and a label may already be written on a wall in
pencil.  So labels are given once and kept: an entity of the kind ``labels`` holds them
(``wainscot validate --fix`` writes it), what it names keeps its label, what it does not name takes
a number that was never given.

Limits: until labels are kept, they are counted afresh for every plan.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import count

from wainscot.voids.space import Space

_NUMBER = re.compile(r"(-?\d+)")


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
    numbers: dict[str, Iterator[int]] = {}
    for v, space in enumerate(spaces):
        if not space.hidden:
            continue
        kept = given.get(space.key)
        found[v] = kept or _next(space.letter, numbers.setdefault(space.letter, count(1)), taken)
    return tuple(found[v] for v in range(len(spaces)))


def _next(letter: str, numbers: Iterator[int], taken: set[str]) -> str:
    """Return the first label of this letter that nobody has."""
    label = next(label for label in (f"{letter}{n}" for n in numbers) if label not in taken)
    taken.add(label)
    return label


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

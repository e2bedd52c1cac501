"""Order, labels and words of voids: by id, so that no list order shows.

>>> sorted(["k/bay/10", "k/bay/9", "k/bay/-1"], key=natural)
['k/bay/-1', 'k/bay/9', 'k/bay/10']
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

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


def labels(spaces: Sequence[Space]) -> tuple[str, ...]:
    """Return a short label for each space, unique among them: ``W7``, ``Kitchen``.

    Parameters
    ----------
    spaces : sequence of Space
        Spaces in the order of their ids.
    """
    counts: Counter[str] = Counter()
    names = Counter(space.words for space in spaces if not space.hidden)
    taken: set[str] = {name for name, number in names.items() if number == 1}
    out = []
    for space in spaces:
        stem = space.letter if space.hidden else space.words
        if not space.hidden and names[stem] == 1:
            out.append(stem)
            continue
        label = _next(stem, counts, taken, "" if space.hidden else " ")
        taken.add(label)
        out.append(label)
    return tuple(out)


def _next(stem: str, counts: Counter[str], taken: set[str], space: str) -> str:
    while True:
        counts[stem] += 1
        label = f"{stem}{space}{counts[stem]}"
        if label not in taken:
            return label

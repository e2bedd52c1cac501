"""Many values in parts that one statement takes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import TypeVar

T = TypeVar("T")

MANY = 500
"""Values in one statement; SQLite before 3.32 takes 999."""


def in_parts(values: Iterable[T], size: int = MANY) -> Iterator[list[T]]:
    """Give values in lists of at most so many.

    Parameters
    ----------
    values : iterable
        Any.
    size : int
        Most values in a list.
    """
    flow = iter(values)
    while part := list(islice(flow, size)):
        yield part

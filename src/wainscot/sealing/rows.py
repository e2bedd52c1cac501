"""All seal lists of a job as one: numbered rows, with the hours that each list gives them.

    for row in rows_of([one.seals for one in sealing.lists]): print(row.number, row.words)

The numbers are those of the printed list and of the picture.  Seals that read alike, are made of
the same on as many faces and stand in the same lists at the same hours are one row.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

from wainscot.sealing.model import Range, Remaining, Seal, SealList, Sort, Spot

Lists = tuple[float, ...]


class Row(msgspec.Struct, frozen=True):
    """What is closed alike."""

    number: int
    """From 1."""
    words: str
    sort: Sort
    material: str
    faces: int
    note: str
    reach: str
    """The opening needed to get at the first of them; empty where none is."""
    keys: tuple[str, ...]
    """Of the seals."""
    places: int
    """How many places in the list that names most."""
    hours: Lists
    """By list, in the order given; zero where that list leaves it. [h]"""
    spots: tuple[Spot, ...]
    area: Range
    """[m2]"""
    volume: Range
    """[m3]"""
    joint: Range
    """[m]"""


class Left(msgspec.Struct, frozen=True):
    """A way that stays open after some or all of the lists."""

    letter: str
    words: str
    why: str
    lists: tuple[bool, ...]
    """By list, in the order given."""
    count: int
    """How many voids it enters first, in the list where they are most."""
    voids: tuple[str, ...]
    """Words of a few of them."""
    spots: tuple[Spot, ...]


def rows_of(lists: Sequence[Sequence[Seal]]) -> tuple[Row, ...]:
    """Return every seal of any of the lists once, numbered.

    Parameters
    ----------
    lists : sequence of sequence of Seal
        Such as the four of a job, or one alone.
    """
    named: dict[str, list[Seal | None]] = {}
    for n, seals in enumerate(lists):
        for one in seals:
            named.setdefault(one.key, [None] * len(lists))[n] = one
    groups: dict[tuple[str, str, int, str, Lists], list[Seal]] = {}
    for found in named.values():
        # The list that names most of its places speaks for all.
        widest = max((one for one in found if one), key=lambda one: one.places)
        words = widest.words.partition(", between ")[0]
        hours = tuple(round(one.hours, 2) if one else 0.0 for one in found)
        alike = (words, widest.material, widest.faces, widest.note, hours)
        groups.setdefault(alike, []).append(widest)
    order = sorted(groups.items(), key=lambda one: _ORDER[one[1][0].sort])
    return tuple(_row(n, alike[-1], members) for n, (alike, members) in enumerate(order, 1))


_ORDER: dict[Sort, int] = {"entry point": 0, "edge to go along": 1, "passage": 2}


def _row(number: int, hours: Lists, members: list[Seal]) -> Row:
    first, count = members[0], len(members)
    return Row(
        number, first.words if count == 1 else first.words.partition(", between ")[0], first.sort,
        first.material, first.faces, first.note, first.reach, tuple(one.key for one in members),
        sum(one.places for one in members), tuple(count * one for one in hours),
        tuple(spot for one in members for spot in one.spots),
        _sum(one.area for one in members), _sum(one.volume for one in members),
        _sum(one.joint for one in members),
    )  # fmt: skip


def _sum(ranges: Iterable[Range]) -> Range:
    low, high = 0.0, 0.0
    for one in ranges:
        low, high = low + one[0], high + one[1]
    return low, high


def left_of(lists: Sequence[SealList]) -> tuple[Left, ...]:
    """Return every way that stays open after any of the lists once, with a letter.

    Parameters
    ----------
    lists : sequence of SealList
        The lists.
    """
    found: dict[tuple[str, str], list[Remaining | None]] = {}
    for n, one in enumerate(lists):
        for left in one.remaining:
            found.setdefault((left.why, left.words), [None] * len(lists))[n] = left
    return tuple(
        _left(letter(n), told) for n, (_, told) in enumerate(sorted(found.items()))
    )  # fmt: skip


def _left(letter: str, told: list[Remaining | None]) -> Left:
    most = max((one for one in told if one), key=lambda one: one.count)
    words = most.words.removeprefix("edge: ").removeprefix(f"{most.why}, ")
    return Left(letter, words, most.why, tuple(one is not None for one in told), most.count,
                most.voids, most.spots)  # fmt: skip


def letter(place: int) -> str:
    """Return a, b ... z, aa, ab ... by place from 0."""
    head, tail = divmod(place, 26)
    return (letter(head - 1) if head else "") + chr(ord("a") + tail)


def ranges(numbers: Iterable[int]) -> str:
    """Return numbers in words: ``1 to 3, 5``."""
    runs: list[list[int]] = []
    for one in sorted(set(numbers)):
        if runs and one == runs[-1][1] + 1:
            runs[-1][1] = one
        else:
            runs.append([one, one])
    return ", ".join(
        str(low) if low == high else f"{low}, {high}" if high == low + 1 else f"{low} to {high}"
        for low, high in runs
    )

"""How many hold points of a walk's answer nobody has settled.

As the app counts them on a phone: those of the next checks, and those of the balanced openings.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

import msgspec


class _Hold(msgspec.Struct):
    key: str
    standing: str
    first: str = ""


class _Check(msgspec.Struct):
    holds: list[_Hold]
    first: list[str]


class _Checks(msgspec.Struct):
    checks: list[_Check] = []


class _Opening(msgspec.Struct):
    id: str
    holds: list[_Hold] = []


class _Set(msgspec.Struct):
    openings: list[str]


class _Choice(msgspec.Struct):
    balanced: _Set
    openings: list[_Opening]


class _Answer(msgspec.Struct):
    checks: _Checks | None = None
    openings: _Choice | None = None


def open_stops(answer: bytes, released: Collection[str]) -> int:
    """Return how many hold points are open.

    Parameters
    ----------
    answer : bytes
        JSON of a walk's answer.
    released : collection of str
        Keys of the hold points that somebody settled.
    """
    keys = set(_keys(msgspec.json.decode(answer, type=_Answer)))
    return len(keys - set(released))


def _keys(answer: _Answer) -> Iterator[str]:
    for check in answer.checks.checks if answer.checks else []:
        for hold in check.holds:
            asked = hold.standing == "find out" and hold.first in check.first
            if hold.standing == "stop" or asked:
                yield hold.key
    choice = answer.openings
    for one in choice.openings if choice else []:
        if choice and one.id in choice.balanced.openings:
            yield from (hold.key for hold in one.holds if hold.standing != "care")

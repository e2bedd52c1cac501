"""Closing the ways in, trapping and watching, in the order that shuts nobody in.

Limits: how many rounds of traps it takes is the book's until the traps have said more.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from wainscot.programme.making import LEAD, Making
from wainscot.sealing import Seal

LEAST_NIGHTS = 1.0


def closing(made: Making) -> None:
    """Add seals, rounds of traps and the watch, by the order of the seal list.

    Parameters
    ----------
    made : Making
        Is written to.
    """
    sealing, seals = made.given.sealing, made.given.scope.seals
    if sealing is None or seals is None or not seals.seals:
        return
    parted = sealing.isolation.seals if sealing.isolation is not None else ()
    known = {one.key: one for one in (*parted, *seals.seals)}
    last: tuple[str, ...] = made.gate
    for step in sealing.order:
        some = [known[key] for key in step.seals if key in known and key not in made.sealed]
        if step.phase in ("now", "before the last", "last"):
            last = _sealed(made, step.phase, some, last)
        elif step.phase == "trap":
            last = (_traps(made, "set the traps", "watch/set", last),)
        elif step.phase == "quiet":
            last = _quiet(made, last)
        else:
            _watched(made, last)


def _sealed(made: Making, phase: str, some: list[Seal], last: tuple[str, ...]) -> tuple[str, ...]:
    if not some:
        return last
    made.sealed |= {one.key for one in some}
    words = {"now": "part the nest", "before the last": "close ways in; those in use stay open",
             "last": "close the last ways in"}[phase]  # fmt: skip
    return (made.site(f"seal/{phase}", "seal", words, sum(one.hours for one in some), last,
                      places=tuple(one.words for one in some)),)  # fmt: skip


def _traps(made: Making, words: str, key: str, after: Iterable[str]) -> str:
    return made.site(key, "watch", words, _trap_hours(made), after)


def _trap_hours(made: Making) -> float:
    """Hours of one round: as the price has them."""
    return made.book.trap_round.value


def _rounds(made: Making, name: str, rounds: int, last: tuple[str, ...]) -> tuple[str, ...]:
    nights = max(LEAST_NIGHTS, made.book.team.rounds_every.value)
    for n in range(1, rounds + 1):
        # From one evening to a morning: so many nights are half a day less than so many days.
        waited = made.wait(f"watch/{name} {n} nights", "watch", _nights(nights),
                           24.0 * nights - 12.0, last)  # fmt: skip
        words = f"look at the traps, round {n} of {rounds}"
        last = (_traps(made, words, f"watch/{name} {n}", (waited,)),)
    return last


def _nights(nights: float) -> str:
    return f"traps stand for {nights:g} night{'' if nights == 1 else 's'}"


def _quiet(made: Making, last: tuple[str, ...]) -> tuple[str, ...]:
    rounds = max(1, int(made.book.business.rounds_in_use.value))
    last = _rounds(made, "quiet", rounds, last)
    return (made.hold("watch/quiet", "watch", "the traps say that it is quiet", LEAD, last,
                      evidence="rounds of traps without a catch"),)  # fmt: skip


def _watched(made: Making, last: tuple[str, ...]) -> None:
    found = made.given.all_clear
    known = found.statement.nights_for[0][1] if found is not None else None
    every = max(LEAST_NIGHTS, made.book.team.rounds_every.value)
    rounds = max(1, int(made.book.business.rounds_quiet.value))
    if known is not None:
        rounds = max(1, math.ceil(known / every))
    if not any(one.key == "watch/set" for one in made.all):
        last = (_traps(made, "set the traps", "watch/set", last),)
    last = _rounds(made, "round", rounds, last)
    made.hold("watch/all-clear", "watch", "read the all-clear with the owner", LEAD, last,
              evidence="the all-clear statement, its chance and limits")  # fmt: skip

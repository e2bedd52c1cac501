"""Words that the picture and the terminal share, so that both name a thing alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from wainscot import chance
from wainscot.checks import Check, Result
from wainscot.checks.words import rounded, spans
from wainscot.diagnosis.answer import EntryAnswer, VoidAnswer


def entry_labels(entries: Iterable[EntryAnswer]) -> dict[str, str]:
    """Return the label of each drawn way in by its id: E1 is the likeliest."""
    drawn = [each for each in entries if each.sort == "entry point"]
    drawn.sort(key=lambda each: (-each.used, each.id))
    return {each.id: f"E{place}" for place, each in enumerate(drawn, start=1)}


def alike(voids: Iterable[VoidAnswer]) -> list[list[VoidAnswer]]:
    """Return bays of one kind in one floor or wall together, the likeliest first."""
    groups: dict[tuple[str, str], list[VoidAnswer]] = {}
    for each in sorted(voids, key=lambda each: (-each.soiled, each.id)):
        where = each.words.partition(", ")[2] or each.words
        groups.setdefault((each.kind, where), []).append(each)
    return list(groups.values())


def named(group: list[VoidAnswer]) -> str:
    """Return a group of :func:`alike` in words, without the label: that stands in front."""
    first = group[0]
    words = first.words.replace(f" {first.label}", "", 1) if first.hidden else first.words
    if len(group) == 1:
        return words
    name, _, where = words.partition(", ")
    return f"{name} and {len(group) - 1} more like it" + (f", {where}" if where else "")


def in_ten(share: float) -> str:
    """Return a share of the draws as it stands on a run's plate: ``6 in 10``.

    Parameters
    ----------
    share : float
        Share of the draws. [1]
    """
    return f"{max(1, min(9, round(10 * share)))} in 10"


def paying(result: Result | None, most: int) -> list[Check]:
    """Return the checks of one visit, each the best once those before it are done.

    None where it is time to open.

    Parameters
    ----------
    result : Result or None
        The ranked checks.
    most : int
        How many are wanted.
    """
    if result is None:
        return []
    by_id = {check.access: check for check in result.checks}
    return [by_id[step.access] for step in result.visit[:most]]


_STANDINGS = {"find out": "First find out", "stop": "STOP until signed for"}


def stops(checks: Sequence[Check]) -> list[str]:
    """Return what must be settled before some of the checks, a sentence each.

    Parameters
    ----------
    checks : sequence of Check
        Those that are told, in the order of their numbers.
    """
    return [line for standing in _STANDINGS for line in _stop(checks, standing)]


def _stop(checks: Sequence[Check], standing: str) -> list[str]:
    by_hazard: dict[str, list[int]] = {}
    for place, check in enumerate(checks, 1):
        for hold in check.holds:
            if hold.standing == standing and (standing != "find out" or hold.first in check.first):
                numbers = by_hazard.setdefault(hold.hazard, [])
                if place not in numbers:
                    numbers.append(place)
    groups: dict[tuple[int, ...], list[str]] = {}
    for hazard, numbers in sorted(by_hazard.items()):
        groups.setdefault(tuple(numbers), []).append(hazard)
    lines = []
    for places, hazards in sorted(groups.items()):
        which = "all of them" if len(places) == len(checks) > 1 else _joined(places)
        lines.append(f"{_STANDINGS[standing]}, before {which}: {', '.join(hazards)}.")
    return lines


def _joined(numbers: tuple[int, ...]) -> str:
    said = [str(number) for number in numbers]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"


def terms(check: Check, result: Result) -> str:
    """Return what a check takes and what it may bring: ``1.5 hours; 65 in 100 that ...``.

    Parameters
    ----------
    check : Check
        One of the result's.
    result : Result
        For the currency.
    """
    minutes = check.minutes
    parts = [f"{minutes:.0f} minutes" if minutes < 90 else f"{minutes / 60:.1f} hours"]
    if result.money:
        parts[0] += f", worth {rounded(check.worth)} {result.currency}"
    shows = f"{chance.percent(check.shows)} in 100 that it shows something"
    parts.append("tells which way the framing runs" if check.shows >= 1.0 else shows)
    if check.nights:
        parts.append(f"come back after {check.nights} night{'s' if check.nights > 1 else ''}")
    if check.settles:
        parts.append(f"settles {spans(check.settles)}")
    return "; ".join(parts)

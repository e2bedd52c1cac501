"""The next checks in words for a terminal: briefly in the answer, in full by themselves."""

from __future__ import annotations

from wainscot import chance
from wainscot.checks import Check, Result, lines
from wainscot.checks.words import rounded, spans
from wainscot.cli.frame import Frame

BRIEF = 3
"""Checks that the answer names."""
_STANDINGS = {"find out": "First find out", "stop": "Stop until signed for"}


def brief(result: Result, out: Frame) -> None:
    """Write the best checks, or that it is time to open.

    Parameters
    ----------
    result : Result
        The ranked checks.
    out : Frame
        Where it goes.
    """
    paying = [check for check in result.checks if check.pays][:BRIEF]
    if not paying:
        said = "open what stands below" if result.open_now else "and no void is worth opening"
        out.paragraph(f"No look pays for itself: {said}.", "  ")
        return
    for place, check in enumerate(paying, 1):
        out.paragraph(f"{check.doing}: {_terms(check, result)}", f"  {place}  ")
    for standing in _STANDINGS:
        _holds(paying, standing, out)


def in_full(result: Result, most: int, out: Frame) -> None:
    """Write the whole ranking: what each is worth and costs, and what holds for it.

    Parameters
    ----------
    result : Result
        The ranked checks.
    most : int
        Checks that are told.
    out : Frame
        Where it goes.
    """
    for line in lines(result, most):
        number, dot, _ = line.partition(". ")
        numbered = bool(dot) and number.isdigit()
        out.paragraph(line, "", " " * (len(number) + 2) if numbered else "  ")


def _terms(check: Check, result: Result) -> str:
    """What it takes and what it may bring, shortly."""
    parts = [_time(check.minutes)]
    if result.money:
        parts[0] += f", worth {rounded(check.worth)} {result.currency}"
    shows = f"{chance.percent(check.shows)} in 100 that it shows something"
    parts.append("tells which way the framing runs" if check.shows >= 1.0 else shows)
    if check.nights:
        parts.append(f"come back after {check.nights} night{'s' if check.nights > 1 else ''}")
    if check.settles:
        parts.append(f"settles {spans(check.settles)}")
    return "; ".join(parts)


def _time(minutes: float) -> str:
    return f"{minutes:.0f} minutes" if minutes < 90 else f"{minutes / 60:.1f} hours"


def _holds(checks: list[Check], standing: str, out: Frame) -> None:
    """One line for what must be settled before some of the checks."""
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
    for places, hazards in sorted(groups.items()):
        which = "all of them" if len(places) == len(checks) > 1 else _joined(places)
        out.paragraph(f"{_STANDINGS[standing]}, before {which}: {', '.join(hazards)}.", "     ")


def _joined(numbers: tuple[int, ...]) -> str:
    said = [str(number) for number in numbers]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"

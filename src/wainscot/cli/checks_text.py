"""The next checks in words for a terminal: briefly in the answer, in full by themselves."""

from __future__ import annotations

from wainscot.checks import Check, Result, lines
from wainscot.cli.frame import Frame
from wainscot.picture.wording import paying, terms

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
    best = paying(result, BRIEF)
    if not best:
        said = "open what stands below" if result.open_now else "and no void is worth opening"
        out.paragraph(f"No look pays for itself: {said}.", "  ")
        return
    for place, check in enumerate(best, 1):
        out.paragraph(f"{check.doing}: {terms(check, result)}", f"  {place}  ")
    for standing in _STANDINGS:
        _holds(best, standing, out)


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

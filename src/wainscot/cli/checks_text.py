"""The next checks in words for a terminal: briefly in the answer, in full by themselves."""

from __future__ import annotations

from wainscot.checks import Result, lines
from wainscot.checks.words import in_turn
from wainscot.cli.frame import Frame
from wainscot.picture.wording import paying, stops, terms

BRIEF = 3
"""Checks that the answer names."""


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
    for words in (*in_turn(result, len(best)), *stops(best)):
        out.paragraph(words, "     ")


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

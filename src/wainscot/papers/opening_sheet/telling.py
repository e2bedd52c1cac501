"""Lengths and marks as they are told on a sheet."""

from __future__ import annotations

from wainscot.drawing import Grain, both
from wainscot.drawing.lengths import Way
from wainscot.papers.opening_sheet.model import Mark
from wainscot.quantity import Units

Pair = tuple[str, str]
"""A length on the job's tape and on the other."""


def distance(value: float, units: Units, grain: Grain, way: Way = "nearest") -> tuple[str, str]:
    """Return a length on the job's tape and on the other; a minus becomes nothing.

    Parameters
    ----------
    value : float
        The exact length. [m]
    units : {"ft-in", "m"}
        The job's tape.
    grain : Grain
        How fine.
    way : {"nearest", "up", "down"}
        Where it is rounded to.
    """
    return both(abs(value), units, grain, way if value >= 0 else TURNED[way])


TURNED: dict[Way, Way] = {"up": "down", "down": "up", "nearest": "nearest"}
"""Rounding of a distance that is counted the other way."""


def mark(
    what: str, where: str, value: float, units: Units, grain: Grain, way: Way = "nearest"
) -> Mark:
    """Return a mark of the pencil.

    Parameters
    ----------
    what, where : str
        What it is, and measured from where.
    value : float
        The exact distance. [m]
    units : {"ft-in", "m"}
        The job's tape.
    grain : Grain
        How fine.
    way : {"nearest", "up", "down"}
        Where it is rounded to.
    """
    first, second = distance(value, units, grain, way)
    return Mark(what, where, first, second)


def short(name: str, most: int = 22) -> str:
    """Return a name that fits on a drawing."""
    flat = " ".join(name.split())
    return flat if len(flat) <= most else f"{flat[: most - 1]}\u2026"


def in_words(first: str, second: str) -> str:
    """Return a length on both tapes in one line."""
    return f"{first} ({second})"

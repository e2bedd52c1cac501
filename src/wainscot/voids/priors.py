"""The table of what passages are like: how wide, how often there, how often used.

Nobody has published a survey of real holes between voids, so most rows are judgement; the screen
says so.  ``tables/passages.csv`` is the one place to change them.
"""

from __future__ import annotations

import csv
from functools import cache
from importlib import resources

import msgspec

from wainscot.sources import Cited, Status


class PassageRow(msgspec.Struct, frozen=True):
    """One way in which a passage of some rule may be."""

    rule: str
    variant: str
    low: Cited
    """Least aperture where it is there. [m]"""
    high: Cited
    """Greatest aperture. [m]"""
    presence: Cited
    """Chance that it is there. [1]"""
    run: Cited
    """Chance that animals use it, given that they pass. [1]"""
    gnawable: bool


@cache
def passage_rows() -> dict[tuple[str, str], PassageRow]:
    """Return the table by (rule, variant)."""
    text = resources.files(__package__).joinpath("tables/passages.csv").read_text("utf-8")
    found = {}
    for line in csv.DictReader(text.splitlines()):
        status: Status = line["status"]  # type: ignore[assignment]  # a word of the table, whose test reads it
        source = line["source"] or line["why"]

        def cited(value: str, unit: str, standing: Status, source: str = source) -> Cited:
            return Cited(float(value), unit, source, "", standing)

        found[line["rule"], line["variant"]] = PassageRow(
            rule=line["rule"],
            variant=line["variant"],
            low=cited(str(float(line["low_mm"]) / 1000), "m", status),
            high=cited(str(float(line["high_mm"]) / 1000), "m", status),
            presence=cited(line["presence"], "1", "judgement"),
            run=cited(line["run"], "1", "judgement"),
            gnawable=line["gnawable"] == "yes",
        )
    return found


def chance_open(low: float, high: float, threshold: float, presence: float) -> float:
    """Return the chance that a passage lets an animal through.

    The aperture is taken as uniform between its bounds.

    Parameters
    ----------
    low, high : float
        Bounds of the aperture. [m]
    threshold : float
        Aperture that the animal passes. [m]
    presence : float
        Chance that the passage is there at all. [1]

    Returns
    -------
    float
        [1]
    """
    if high <= low:
        return presence if low >= threshold else 0.0
    return presence * min(max((high - threshold) / (high - low), 0.0), 1.0)

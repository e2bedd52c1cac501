"""A cleaning told line by line, for the page that a crew leader works from."""

from __future__ import annotations

from wainscot.access.model import HoldPoint
from wainscot.cleaning.planning import Cleaning


def stops(holds: tuple[HoldPoint, ...]) -> list[str]:
    """Return hold points as lines, what must be signed before what is only to be minded.

    Parameters
    ----------
    holds : tuple of HoldPoint
        Any of them.
    """
    words = {"stop": "STOP, sign first", "find out": "STOP, find out first", "care": "Mind"}
    ordered = sorted(holds, key=lambda one: list(words).index(one.standing))
    return [f"{words[one.standing]} ({one.key}): {one.words} First: {one.first}. Signs: "
            f"{one.who}. Evidence: {one.evidence}." for one in ordered]  # fmt: skip


def short_stops(holds: tuple[HoldPoint, ...]) -> list[str]:
    """Return hold points as a line to sign on each.

    Parameters
    ----------
    holds : tuple of HoldPoint
        Any of them.
    """
    words = {"stop": "STOP", "find out": "STOP", "care": "Mind"}
    return [
        f"{words[one.standing]} {one.hazard}: {one.first} ({one.who})"
        + ("" if one.standing == "care" else "  signed: ____________")
        for one in holds
    ]


def lines(found: Cleaning, *, holds: bool = True) -> list[str]:
    """Return a cleaning line by line.

    Parameters
    ----------
    found : Cleaning
        The plan.
    holds : bool
        False where the hold points stand elsewhere on the page.
    """
    label, wet = found.label, found.film
    again = "no need to wet again" if wet.rewet_after is None else (
        f"wet again every {wet.rewet_after:.0f} min"
    )  # fmt: skip
    return [
        *(stops(found.holds) if holds else ()),
        f"Product: {label.product}, registration {label.registration}, contact time "
        f"{label.contact:.0f} min, " + (f"1 part to {label.water:g} of water"
                                        if label.water else "as it is") + " (label, as typed).",
        *(f"{n}. {step}" for n, step in enumerate(found.steps, 1)),
        *(f"{one.place}: {one.area:.1f} m2, {one.solution:.1f} L" for one in found.amounts),
        f"Mix {found.solution:.1f} L in all: {found.mixed.product:.2f} L product, "
        f"{found.mixed.water:.1f} L water; fresh.",
        f"The film lasts about {wet.lasts:.0f} min ({wet.shortest:.0f} to {wet.longest:.0f}) on "
        f"a sealed surface: {again}. What soaks in is extra.",
        f"Waste: {found.bags} bags, doubled, about {found.weight:.0f} kg.",
        *found.streams,
        f"Wear: {', '.join(found.protection)}.",
        f"Van: {'; '.join(found.van)}.",
        f"Log: {'; '.join(found.log)}.",
        *found.warnings,
    ]  # fmt: skip

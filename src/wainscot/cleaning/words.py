"""A cleaning told line by line, for the page that a crew leader works from."""

from __future__ import annotations

from wainscot.access.model import HoldPoint
from wainscot.cleaning.film import Film
from wainscot.cleaning.planning import Cleaning, litres
from wainscot.cleaning.products import Label


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
    """Return hold points as a line to sign on each; who signs is told where it is not the lead.

    Parameters
    ----------
    holds : tuple of HoldPoint
        Any of them.
    """
    words = {"stop": "STOP", "find out": "STOP", "care": "Mind"}
    lead = "whoever leads the work"
    return [
        f"{words[one.standing]} {one.hazard}: {one.first}"
        + (f" ({one.who})" if one.who != lead else "")
        + ("." if one.standing == "care" else ". Signed: ____________")
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
    return [
        *(stops(found.holds) if holds else ()),
        product_line(found.label),
        *(f"{n}. {step}" for n, step in enumerate(found.steps, 1)),
        *(f"{one.place}: {one.area:.1f} m2, {one.solution:.1f} L" for one in found.amounts),
        amounts_total(found),
        film_line(found.film),
        f"Waste: bags: {found.bags}, doubled; about {found.weight:.0f} kg.",
        *found.streams,
        f"Wear: {', '.join(found.protection)}.",
        f"Van: {'; '.join(found.van)}.",
        f"Log: {'; '.join(found.log)}.",
        *found.warnings,
    ]  # fmt: skip


def product_line(label: Label) -> str:
    """Return what the label says that the work goes by.

    Parameters
    ----------
    label : Label
        As typed.
    """
    mixed = f"1 part to {label.water:g} of water" if label.water else "as it is"
    return (
        f"Product: {label.product}, registration {label.registration}, contact time "
        f"{label.contact:.0f} min, {mixed} (label, as typed; it comes before all of this)."
    )


def amounts_total(found: Cleaning) -> str:
    """Return what is mixed in all.

    Parameters
    ----------
    found : Cleaning
        The plan.
    """
    mixed = found.mixed
    if mixed.water == 0:
        return f"In all {litres(found.solution)}, as it is."
    return (
        f"Mix {litres(found.solution)} in all: {litres(mixed.product)} product, "
        f"{litres(mixed.water)} water; fresh."
    )


def film_line(wet: Film, air: str = "") -> str:
    """Return how long a film lasts, and when to wet it again.

    Parameters
    ----------
    wet : Film
        The film.
    air : str
        In what air, in words.
    """
    where = " ".join(part for part in ("on a sealed surface", air) if part)
    if not wet.dries:
        return f"The film does not dry {where}. What soaks in is extra."
    again = "no need to wet again" if wet.rewet_after is None else (
        f"wet again every {wet.rewet_after:.0f} min"
    )  # fmt: skip
    return (
        f"The film lasts about {wet.lasts:.0f} min ({wet.shortest:.0f} to {wet.longest:.0f}) "
        f"{where}: {again}. What soaks in is extra."
    )

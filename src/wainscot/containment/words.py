"""A containment told line by line, for the page that a crew leader works from."""

from __future__ import annotations

from wainscot.containment.exhaust import DERATE, MIXING, PRESSURE, UNIT
from wainscot.containment.planning import LEAK_PER_EDGE, ZIP, Containment
from wainscot.sources import Cited

CFM = 60 * 0.3048**-3
"""Cubic feet a minute in a cubic metre a second. [unit]"""


def lines(found: Containment) -> list[str]:
    """Return a containment line by line, without its hold points.

    Parameters
    ----------
    found : Containment
        The answer.
    """
    work, sheets, drawn = found.work, found.sheets, found.exhaust
    decides = "leakage decides" if drawn.governs == "leakage" else "air changes decide"
    leak = "measured" if found.leakage_measured else "a judgement: measure it"
    return [
        f"Work area: {', '.join(work.names)}, {work.floor:.1f} m2, {work.volume:.0f} m3.",
        f"Bring {sheets.sheet:.0f} m2 sheet, {sheets.floor:.0f} m2 floor protection, "
        f"{sheets.tape:.0f} m tape, {sheets.zip_doors} zip doors, {sheets.posts} posts.",
        f"Exhaust: {drawn.flow:.2f} m3/s ({drawn.flow * CFM:.0f} ft3/min); {decides}. "
        f"Units: {drawn.units}, {drawn.changes:.1f} changes an hour with loaded filters.",
        f"By air changes {drawn.by_changes:.2f}, by leakage {drawn.by_leakage:.2f} m3/s (leakage "
        f"{leak}).",
        f"Purge at the end: {found.purge_minutes:.0f} min, mixing factor {found.mixing:g}; longer "
        "where air stands still.",
        *found.warnings,
        assumed(found),
    ]  # fmt: skip


def _assumed(one: Cited) -> str:
    why = one.source if one.is_judgement else f"{one.where} ({one.status}, no source)"
    return f"{one.value:g} {one.unit}, {why}" if one.unit != "1" else f"{one.value:g}, {why}"


def assumed(found: Containment) -> str:
    """Return what nobody measured, in one line.

    Parameters
    ----------
    found : Containment
        The answer.
    """
    return f"Assumed: {'; '.join(_assumed(one) for one in found.assumed)}."


def assumed_briefly(found: Containment) -> str:
    """Return what nobody measured, for a page: the figures that a crew can check on site.

    Parameters
    ----------
    found : Containment
        The answer.
    """
    said = {
        LEAK_PER_EDGE.source: f"{LEAK_PER_EDGE.value * 1e4:g} cm2 of leaks a metre of taped edge",
        ZIP.source: f"{ZIP.value * 1e4:g} cm2 a zip door",
        UNIT.source: f"about {round(UNIT.value * CFM, -2):.0f} ft3/min on a unit's plate",
        DERATE.where: f"{100 * DERATE.value:.0f} % of it left as the filter loads",
        MIXING.source: f"mixing factor {MIXING.value:g} (up to 10 in dead corners)",
    }  # fmt: skip
    # A judgement says what it is in its source, a practice in where it stands.
    keys = [one.source if one.is_judgement else one.where for one in found.assumed]
    told = [said[key] for key in keys if key in said]
    pressure = PRESSURE.value
    return (
        f"Hold {pressure:.0f} Pa below the rooms beside it; the manometer decides. Assumed, not "
        f"measured: {'; '.join(told)}."
    )

"""A containment told line by line, for the page that a crew leader works from."""

from __future__ import annotations

from wainscot.containment.exhaust import DERATE, MIXING, PRESSURE, UNIT
from wainscot.containment.house import Spread
from wainscot.containment.planning import LEAK_PER_EDGE, ZIP, Containment
from wainscot.sources import Cited

CFM = 60 * 0.3048**-3
"""Cubic feet a minute in a cubic metre a second. [ft3 s/(m3 min)]"""


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
        f"{sheets.tape:.0f} m tape; zip doors: {sheets.zip_doors}, posts: {sheets.posts}.",
        f"Exhaust: {drawn.flow:.2f} m3/s ({drawn.flow * CFM:.0f} ft3/min); {decides}. "
        f"Units: {drawn.units}, {drawn.changes:.1f} changes an hour with loaded filters.",
        f"By air changes {drawn.by_changes:.2f}, by leakage {drawn.by_leakage:.2f} m3/s (leakage "
        f"{leak}).",
        f"Purge at the end: {found.purge_minutes:.0f} min, mixing factor {found.mixing:g}; longer "
        "where air stands still.",
        *found.warnings,
        *(_spread(found.spread) if found.spread is not None else ()),
        assumed(found),
    ]  # fmt: skip


_MOST_ROOMS = 6


def _spread(found: Spread) -> list[str]:
    """Return what reaches the other rooms, and whether the draught holds."""
    if not found.rooms:
        return ["No other room is drawn, so nothing is told of next door."]
    told = "; ".join(
        f"{one.room} {_share(one.share)} (fan stopped: {_share(one.without_fan)})"
        for one in found.rooms[:_MOST_ROOMS]
    )
    rest = len(found.rooms) - _MOST_ROOMS
    more = f"; {rest} more rooms get less" if rest > 0 else ""
    at = f" (towards {found.weakest_at})" if found.weakest_at else ""
    return [
        f"Next door, dose as a share of that inside over {found.hours:g} h, windows and doors "
        f"shut, no wind: {told}{more}. An estimate: the order of the rooms says more than the "
        "figures.",
        f"Weakest pull at the sheets: {found.weakest:.1f} Pa{at}. The house itself is drawn "
        f"{found.house_drop:.1f} Pa down.",
        *found.warnings,
        f"Assumed for that: {'; '.join(map(_assumed, found.assumed))}.",
    ]


def _share(part: float) -> str:
    return f"{100 * part:.1f} %" if part >= 0.001 else "under 0.1 %"


def _assumed(one: Cited) -> str:
    if one.is_judgement:
        why = one.source
    elif one.status == "common practice":
        why = f"{one.where} ({one.status}, no source)"
    else:
        why = f"{one.where} ({one.source}, {'from ' if one.status == 'memory' else ''}{one.status})"
    return f"{one.value:.3g} {one.unit}, {why}" if one.unit != "1" else f"{one.value:.3g}, {why}"


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

"""A containment told line by line, for the page that a crew leader works from."""

from __future__ import annotations

from wainscot.containment.planning import Containment
from wainscot.sources import Cited

_CFM = 60 * 0.3048**-3


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
        f"Exhaust: {drawn.flow:.2f} m3/s ({drawn.flow * _CFM:.0f} ft3/min); {decides}. "
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


def brief(found: Containment) -> str:
    """Return a containment in one line, for a page with several.

    Parameters
    ----------
    found : Containment
        The answer.
    """
    work, sheets, drawn = found.work, found.sheets, found.exhaust
    return (
        f"{', '.join(work.names)}: {work.floor:.0f} m2, {work.volume:.0f} m3; sheet "
        f"{sheets.sheet:.0f} m2, floor {sheets.floor:.0f} m2, tape {sheets.tape:.0f} m, zip doors "
        f"{sheets.zip_doors}; exhaust {drawn.flow * 3600:.0f} m3/h ({drawn.flow * _CFM:.0f} "
        f"ft3/min), units {drawn.units}; purge {found.purge_minutes:.0f} min"
    )


def assumed(found: Containment) -> str:
    """Return what nobody measured, in one line.

    Parameters
    ----------
    found : Containment
        The answer.
    """
    return f"Assumed: {'; '.join(_assumed(one) for one in found.assumed)}."

"""Lead in paint, by country and year built.

US rule, 40 CFR 745.83: in housing built before 1978, disturbing up to 6 ft2 of painted surface in a
room within 30 days counts as minor repair, but never where painted components are demolished, and
the regulator reads demolition as removal that destroys the component, at any size.  So the cautious
reading here is that every destructive cut in painted board of that age is covered unless tested.
"""

from __future__ import annotations

from collections.abc import Sequence

from wainscot.access.model import DEFER, Access, Act, Hazard, HoldPoint, Site, Target
from wainscot.access.scene import Scene
from wainscot.sources import Cited

_RULE = "40 CFR 745.83, definition of minor repair and maintenance activities"
FOOT = 0.3048
LEAD_YEAR = Cited(1978, "year", "40 CFR 745 (target housing: built before 1978)", "", "read")
MINOR_INSIDE = Cited(6 * FOOT**2, "m2", _RULE, "6 ft2 or less per room", "second-hand")
MINOR_DAYS = Cited(30, "d", _RULE, "jobs in one room within 30 days are one job", "second-hand")
UK_LEAD_YEAR = Cited(
    1992, "year", "UK: lead paint was on general sale until about then", "", "memory"
)


def _age(site: Site) -> str:
    """Return how the year stands; empty where the paint is young enough."""
    year = site.year_built
    limit = UK_LEAD_YEAR.value if site.country == "UK" else LEAD_YEAR.value
    if year is None:
        return "The year built is not known"
    return f"Built in {year}" if year < limit else ""


def _together(chosen: Sequence[Access], site: Site) -> dict[str, HoldPoint]:
    """The US rule adds up what is disturbed in one room; every broken finish counts as painted."""
    age = _age(site)
    if not age or site.country == "UK":
        return {}
    area: dict[str, float] = {}
    for one in chosen:
        if one.disturbance in ("hole", "cut") and one.finish and one.room:
            area[one.room] = area.get(one.room, 0.0) + one.area
    return {
        room: HoldPoint(
            key=f"lead area/{room}",
            hazard="lead paint, area of the room",
            standing="stop",
            words=f"{age}: {broken:.2f} m2 of finish is broken in one room, more than the "
            f"{MINOR_INSIDE.value:.2f} m2 (6 ft2) that count as minor repair within "
            f"{MINOR_DAYS.value:.0f} days. {DEFER}",
            first="a certified renovator takes the room over, or a test shows no lead",
            who="a certified lead inspector or renovator",
            evidence="the firm's certificate and work record for this room, or the test result",
            source=f"{_RULE}; that every broken finish counts as painted is our cautious reading",
            minutes=10.0,
            instead_of=f"lead/{room}",
        )
        for room, broken in sorted(area.items())
        if broken > MINOR_INSIDE.value
    }


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.breaks or not target.finish:
        return None
    age, country = _age(scene.site), scene.site.country
    if not age:
        return None
    return HoldPoint(
        key=f"lead/{target.room or target.key}",
        hazard="lead paint",
        standing="find out",
        words=f"{age}: paint may hold lead. Any cut that destroys painted board counts as covered "
        f"work until the paint is tested. Painted area touched in one room within "
        f"{MINOR_DAYS.value:.0f} days adds up. {DEFER}",
        first="have the paint tested for lead",
        who="a competent person with a lead test"
        if country == "UK"
        else "a certified lead inspector or renovator",
        evidence="test result for the paint of this room, or certified lead-safe work practice",
        source=f"{_RULE}; regulator's answers on minor repair (read); cautious reading is ours; "
        "UK year from memory",
        minutes=10.0,
    )


HAZARD = Hazard("lead", _find, _together)

"""Lead in paint, by country and year built.

US rule, 40 CFR 745.83: in housing built before 1978, disturbing up to 6 ft2 of painted surface in a
room within 30 days counts as minor repair, but never where painted components are demolished, and
the regulator reads demolition as removal that destroys the component, at any size.  So the cautious
reading here is that every destructive cut in painted board of that age is covered unless tested.
"""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene
from wainscot.sources import Cited

_RULE = "40 CFR 745.83, definition of minor repair and maintenance activities"
FOOT = 0.3048
LEAD_YEAR = Cited(1978, "year", "40 CFR 745 (target housing: built before 1978)", "", "read")
MINOR_INSIDE = Cited(6 * FOOT**2, "m2", _RULE, "6 ft2 or less per room", "second-hand")
MINOR_OUTSIDE = Cited(20 * FOOT**2, "m2", _RULE, "20 ft2 or less", "second-hand")
MINOR_DAYS = Cited(30, "d", _RULE, "jobs in one room within 30 days are one job", "second-hand")
UK_LEAD_YEAR = Cited(
    1992, "year", "UK: lead paint was on general sale until about then", "", "memory"
)


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.breaks or not target.finish:
        return None
    year, country = scene.site.year_built, scene.site.country
    limit = UK_LEAD_YEAR.value if country == "UK" else LEAD_YEAR.value
    if year is not None and year >= limit:
        return None
    age = "The year built is not known" if year is None else f"Built in {year}"
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


HAZARD = Hazard("lead", _find)

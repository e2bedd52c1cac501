"""Asbestos in what is drilled, cut or lifted, by country and year built.

US: in buildings built no later than 1980, pipe and boiler insulation, sprayed or trowelled coatings
and asphalt or vinyl floors are presumed to hold asbestos; later ones are not presumed free.  UK: a
refurbishment survey of the area comes before work that opens a building of before 2000, homes too.
"""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene
from wainscot.sources import Cited

US_YEAR = Cited(
    1980, "year", "29 CFR 1926.1101(b) and (k): built no later than 1980", "", "second-hand"
)
UK_YEAR = Cited(
    2000, "year", "Control of Asbestos Regulations 2012, regs 5-7, and HSG264", "", "second-hand"
)


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if act.disturbance == "none":
        return None
    year, country = scene.site.year_built, scene.site.country
    free = year is not None and (year >= UK_YEAR.value if country == "UK" else year > US_YEAR.value)
    if free:
        return None
    age = "The year built is not known" if year is None else f"Built in {year}"
    rule = (
        "a refurbishment survey of the area to be opened comes first, homes too"
        if country == "UK"
        else "sprayed or trowelled coatings, pipe insulation and vinyl or asphalt floors are "
        "presumed to hold asbestos until shown otherwise"
    )
    return HoldPoint(
        key=f"asbestos/{target.room or target.key}",
        hazard="asbestos",
        standing="find out" if act.breaks else "care",
        words=f"{age}: {rule}. Do not drill, cut or break before it is known; an old panel or "
        f"board that comes off may itself be asbestos board. {DEFER}",
        first="have the material surveyed or sampled for asbestos",
        who="an accredited asbestos surveyor or inspector",
        evidence="survey or laboratory result that names this room and this material",
        source=f"{US_YEAR.source} (second-hand); {UK_YEAR.source} (second-hand)",
        minutes=15.0,
    )


HAZARD = Hazard("asbestos", _find)

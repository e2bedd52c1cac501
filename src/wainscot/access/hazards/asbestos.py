"""Asbestos in what is drilled, cut or lifted, by country and year built.

US: in buildings built no later than 1980, pipe and boiler insulation, sprayed or trowelled coatings
and asphalt or vinyl floors are presumed to hold asbestos; later ones are not presumed free.  UK: a
refurbishment survey of the area comes before work that opens a building of before 2000, homes too.
"""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene
from wainscot.access.years import ASBESTOS_UK, ASBESTOS_US


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if act.disturbance == "none":
        return None
    year, country = scene.site.year_built, scene.site.country
    free = year is not None and (
        year >= ASBESTOS_UK.value if country == "UK" else year > ASBESTOS_US.value
    )
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
        source=f"{ASBESTOS_US.source} (second-hand); 40 CFR 61.145 asks for an inspection before "
        "work on most buildings but single homes of up to four units, which the rule for workers "
        f"does not exempt (second-hand); {ASBESTOS_UK.source} (second-hand)",
        minutes=15.0,
    )


HAZARD = Hazard("asbestos", _find)

"""Textured coatings: a plan does not show them, and an old one may hold asbestos."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene
from wainscot.access.years import ASBESTOS_UK


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    year = scene.site.year_built
    if not act.breaks or act.from_part != "ceiling" or (year or 0) >= ASBESTOS_UK.value:
        return None
    return HoldPoint(
        key=f"textured ceiling/{target.room or target.key}",
        hazard="textured ceiling",
        standing="find out",
        words="A textured ceiling of before 2000 counts as holding asbestos until sampled; "
        f"scraping and dry drilling set fibres free. {DEFER}",
        first="look whether the ceiling is textured, and have it sampled if so",
        who="an accredited asbestos surveyor or inspector",
        evidence="photo of a plain ceiling, or laboratory result of the coating",
        source="HSE asbestos essentials, textured coatings (read); presumption before 2000 from "
        "surveyors' pages (second-hand); 29 CFR 1926.1101 for trowelled surfacing (second-hand)",
        minutes=5.0,
    )


HAZARD = Hazard("textured ceiling", _find)

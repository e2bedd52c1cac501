"""Loose vermiculite insulation in a loft, which may hold asbestos."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene
from wainscot.sources import Cited

LAST_YEAR = Cited(
    1990,
    "year",
    "EPA and ATSDR, Current Best Practices for Vermiculite Attic Insulation, May 2003",
    "the mine whose ore held asbestos closed in 1990",
    "read",
)


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    year = scene.site.year_built
    above = any(scene.graph.kinds[reach.void] == "loft" for reach in target.reaches)
    overhead = act.from_part == "ceiling" and act.breaks
    if not (above or overhead) or (year or 0) > LAST_YEAR.value:
        return None
    return HoldPoint(
        key="vermiculite/loft",
        hazard="vermiculite insulation",
        standing="find out",
        words="If pebbly, brownish or silvery loose insulation lies there, take it to hold "
        f"asbestos: do not stir it, do not go in, do not drill below it. {DEFER}",
        first="look from the hatch, without going in, what insulation lies there",
        who="the person who looked; if it is vermiculite, an asbestos professional",
        evidence="photo of the insulation from the hatch",
        source=f"{LAST_YEAR.source} (read)",
        minutes=5.0,
    )


HAZARD = Hazard("vermiculite", _find)

"""Studs and joists behind a cut that somebody drew by eye: nobody saw where they stand."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.breaks or not target.find_members:
        return None
    member, _, place = target.find_members.partition("|")
    return HoldPoint(
        key=f"framing/{place}",
        hazard="framing behind the finish",
        standing="find out",
        words=f"Nobody saw where the {member}s stand; the plan assumes it. Where what is found is "
        f"not what is drawn, correct the plan first: the cut is judged anew. {DEFER}",
        first=f"find both edges of each {member} at the cut, or open a small hole and look",
        who="the person who found them and marked them",
        evidence="both edges marked on the finish and measured from the same corner",
        source="common practice, no source",
        minutes=10.0,
    )


HAZARD = Hazard("framing", _find)

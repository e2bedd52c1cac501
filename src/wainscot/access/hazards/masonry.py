"""Bricks taken out of a wall that carries: only where a competent person says, a few at a time."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if act.disturbance != "cut" or act.from_part != "wall":
        return None
    if not any(scene.masonry(reach.void) for reach in target.reaches):
        return None
    if not any(cut.sawn for cut in target.cuts):
        return None
    return HoldPoint(
        key=f"masonry/{target.key}",
        hazard="masonry that carries",
        standing="stop",
        words="Bricks out of an inner leaf weaken it: never under a bearing, beside an opening or "
        f"at several places at once. {DEFER}",
        first="have a competent person mark which bricks may come out, and in what order",
        who="a structural engineer, or a mason where nothing bears there",
        evidence="marks on the wall with name and date; put back before the next ones come out",
        source="common practice, no source",
        minutes=20.0,
    )


HAZARD = Hazard("masonry", _find)

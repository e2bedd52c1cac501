"""Go into the loft, lift the insulation and lay it back."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    for void in scene.entered():
        if any(face.part == "ceiling" for face in scene.graph.faces[void]):
            yield scene.inside(void, lifted=True)


ACT = Act(
    name="insulation lifted",
    sentence="Lift the insulation and lay it back: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="insulation_lifted",
    disturbance="taken off",
    enters=True,
)

"""Lift the tiles of a suspended ceiling: the space over it lies open, nothing is cut."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("ceiling"):
        if scene.comes_off(face.finish):
            yield scene.front(void, face)


ACT = Act(
    name="ceiling tiles lifted",
    sentence="Lift {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="ceiling_tiles",
    disturbance="taken off",
    from_part="ceiling",
)

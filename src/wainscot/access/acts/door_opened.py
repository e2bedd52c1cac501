"""Clear what lies behind a door: a cupboard under a stair."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("front"):
        if scene.opens(face.finish):
            yield scene.front(void, face)


ACT = Act(
    name="door opened",
    sentence="Clear it through its door: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="door",
    disturbance="none",
    from_part="front",
)

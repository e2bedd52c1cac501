"""Take off a panel that is made to come off: bath panel, hatch, service panel."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("front"):
        if scene.comes_off(face.finish) and "kick" not in face.finish:
            yield scene.front(void, face)


ACT = Act(
    name="panel off",
    sentence="Take off {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="panel",
    disturbance="taken off",
    from_part="front",
)

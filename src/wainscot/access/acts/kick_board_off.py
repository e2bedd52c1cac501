"""Take a kick board off: the whole length under the cabinets lies open."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("front"):
        if "kick" in face.finish:
            yield scene.front(void, face)


ACT = Act(
    name="kick board off",
    sentence="Take off {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="kick_board",
    disturbance="taken off",
    from_part="front",
)

"""Take off the boarding of a stair or of a pipe boxing, and put it back."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("front"):
        if not scene.comes_off(face.finish) and not scene.opens(face.finish):
            yield scene.front(void, face)


ACT = Act(
    name="front boards off",
    sentence="Take the boarding off: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="front_boards",
    disturbance="cut",
    from_part="front",
)

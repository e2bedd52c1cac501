"""Cut as somebody on the job drew it, in a wall."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.own_cuts import own_targets
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    return own_targets(scene, "wall")


ACT = Act(
    name="own cut in wall",
    sentence="Cut the wall as drawn: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="own_cut",
    disturbance="cut",
    from_part="wall",
)

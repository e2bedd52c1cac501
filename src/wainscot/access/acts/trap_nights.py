"""Set traps for a few nights and come back."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    return scene.standing_places()


ACT = Act(
    name="trap nights",
    sentence="Set traps for three nights and come back: {where}",
    method="trap",
    minutes=judged(30.0, "min", "set, and the return visit shared with other devices"),
    find=_find,
    nights=3,
)

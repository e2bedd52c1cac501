"""Leave a camera for a few nights and come back."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    return scene.standing_places()


ACT = Act(
    name="camera nights",
    sentence="Leave a camera for two nights and come back: {where}",
    method="camera",
    minutes=judged(35.0, "min", "set, and the return visit with the pictures looked through"),
    find=_find,
    nights=2,
)

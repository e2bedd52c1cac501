"""Lay a patch of fine dust overnight and come back to look for tracks."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    return scene.standing_places()


ACT = Act(
    name="dust patch",
    sentence="Lay a dust patch for a night and come back: {where}",
    method="dust patch",
    minutes=judged(20.0, "min", "laid, wiped up, and the return visit shared"),
    find=_find,
    nights=1,
)

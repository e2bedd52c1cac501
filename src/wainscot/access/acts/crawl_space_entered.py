"""Go into the crawl space and clear it."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    for void in scene.entered():
        if not any(face.part == "ceiling" for face in scene.graph.faces[void]):
            yield scene.inside(void, lifted=False)


ACT = Act(
    name="crawl space entered",
    sentence="Go in and clear it: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="joists_from_below",
    disturbance="none",
    enters=True,
)

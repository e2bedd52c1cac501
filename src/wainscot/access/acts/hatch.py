"""Go in by a hatch: the loft, the crawl space."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import ENTERED, Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    for void in scene.hidden():
        if scene.graph.kinds[void] in ENTERED:
            yield Target(
                where=scene.graph.words[void],
                key=scene.graph.keys[void],
                reaches=(Reach(void, 0.6),),
                at=scene.centre(void),
            )


ACT = Act(
    name="through the hatch",
    sentence="By the hatch, if there is one, look in: {where}",
    method="eye and lamp",
    minutes=judged(30.0, "min", "hatch open, lamp, crawl, photographs; two people"),
    find=_find,
    enters=True,
)

"""Reach a bay between open joists from the crawl space below it: nothing is cut."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged

SHARE = judged(0.95, "1", "the ends over the walls stay out of sight")


def _find(scene: Scene) -> Iterator[Target]:
    for void in scene.open_below():
        space = scene.space_below(void)
        if space is not None:
            yield Target(
                where=scene.graph.words[void],
                key=scene.graph.keys[void],
                reaches=(Reach(void, SHARE.value),),
                at=scene.centre(void),
                enters=scene.graph.keys[space],
            )


ACT = Act(
    name="joists from below",
    sentence="Clear between the open joists from below: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="joists_from_below",
    disturbance="none",
    enters=True,
)

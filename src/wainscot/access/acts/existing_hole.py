"""Look through a hole that is there already: a borescope into a drawn entry point."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    graph = scene.graph
    for source, sort in enumerate(graph.source_sort):
        void = int(graph.source_void[source])
        if sort == "entry point" and graph.hidden[void]:
            x, y, z = (float(part) for part in graph.source_at[source])
            yield Target(
                where=graph.source_words[source],
                key=graph.source_keys[source],
                reaches=(Reach(void, 0.4),),
                at=(x, y, z),
            )


ACT = Act(
    name="existing hole",
    sentence="Put the borescope through the hole that is there: {where}",
    method="borescope",
    minutes=judged(8.0, "min", "camera in, turned, photographs"),
    find=_find,
)

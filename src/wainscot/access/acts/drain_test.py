"""Camera, dye or smoke in a drain that may be a way in.

Its outcomes are "in order", "open or broken" and "open with signs of rats"; a drain test says
nothing of a void, only of the way in.
"""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    graph = scene.graph
    drains = {entry.id for entry in scene.plan.entries if entry.beyond == "drain"}
    drains |= {run.id for run in scene.plan.services if run.type == "drain"}
    for source, sort in enumerate(graph.source_sort):
        if sort == "entry point" and graph.source_keys[source].partition("/")[0] in drains:
            x, y, z = (float(part) for part in graph.source_at[source])
            yield Target(
                where=graph.source_words[source],
                key=graph.source_keys[source],
                at=(x, y, z),
                sources=(source,),
            )


ACT = Act(
    name="drain test",
    sentence="Test the drain with camera, dye or smoke: {where}",
    method="",
    minutes=judged(75.0, "min", "cover up, camera through, notes; a drain contractor's visit"),
    find=_find,
    # Judged: a sound drain is mostly told as sound; a used one mostly shows the break, and marks
    # oftener while it is in use.
    shows=((0.75, 0.20, 0.10), (0.23, 0.50, 0.35), (0.02, 0.30, 0.55)),
)

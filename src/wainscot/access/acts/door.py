"""Open a door and look in: the cupboard under a stair."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("front"):
        if scene.opens(face.finish):
            yield Target(
                where=f"the {face.finish} and look in {scene.graph.words[void]}",
                key=f"{scene.graph.keys[void]}|{face.finish}",
                reaches=(Reach(void, 0.8),),
                room=face.room,
                at=scene.centre(void),
            )


ACT = Act(
    name="door",
    sentence="Open {where}",
    method="eye and lamp",
    minutes=judged(10.0, "min", "things out, look, things back"),
    find=_find,
    from_part="front",
)

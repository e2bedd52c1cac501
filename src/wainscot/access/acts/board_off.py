"""Take off a board or panel that is made to come off: kick board, bath panel, service hatch."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import Scene
from wainscot.sources import Cited


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("front"):
        if scene.comes_off(face.finish):
            yield Target(
                where=f"the {face.finish} and look in {scene.graph.words[void]}",
                key=f"{scene.graph.keys[void]}|{face.finish}",
                reaches=(Reach(void, 0.7),),
                room=face.room,
                at=scene.centre(void),
            )


ACT = Act(
    name="board off",
    sentence="Take off {where}",
    method="eye and lamp",
    minutes=Cited(
        15.0, "min", "common practice", "kick board off and on: 1/4 to 1/2 h", "common practice"
    ),
    find=_find,
    disturbance="taken off",
    from_part="front",
)

"""Take a socket's or switch's faceplate off and look past the box into the bay."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("wall"):
        if any(run.type == "cable" for run in scene.runs[void]):
            yield Target(
                where=f"{scene.graph.words[void]}, from the {scene.room_names[face.room]}",
                key=f"{scene.graph.keys[void]}|{face.room}",
                reaches=(Reach(void, 0.3),),
                room=face.room,
                at=scene.centre(void),
            )


ACT = Act(
    name="faceplate off",
    sentence="If a socket or switch sits on it, take the faceplate off and look in: {where}",
    method="borescope",
    minutes=judged(12.0, "min", "plate off and on; the circuit is proved dead on top"),
    find=_find,
    disturbance="taken off",
    from_part="wall",
    bares_terminals=True,
)

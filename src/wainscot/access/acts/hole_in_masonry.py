"""Drill through the inner leaf of a cavity wall, in a joint, and look in with a borescope."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import HOLE_AREA, Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("wall"):
        if scene.masonry(void):
            yield Target(
                where=f"{scene.graph.words[void]}, from the {scene.room_names[face.room]}",
                key=f"{scene.graph.keys[void]}|{face.room}",
                reaches=(Reach(void, 0.25),),
                room=face.room,
                finish=face.finish,
                area=HOLE_AREA.value,
                at=scene.centre(void),
            )


ACT = Act(
    name="hole in masonry",
    sentence="Drill a 10 mm hole through a mortar joint low in the inner leaf and look in with the "
    "borescope: {where}",
    method="borescope",
    minutes=judged(25.0, "min", "mark, drill 100 mm of masonry, look, photograph"),
    find=_find,
    repair={"": judged(15.0, "min", "point the joint, fill and touch up")},
    disturbance="hole",
    from_part="wall",
)

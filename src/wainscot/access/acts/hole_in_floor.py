"""Drill a small hole between two floorboards and look into the joist bay from above."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import HOLE_AREA, Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("floor"):
        yield Target(
            where=scene.graph.words[void],
            key=f"{scene.graph.keys[void]}|{face.room}",
            reaches=(Reach(void, 0.4),),
            room=face.room,
            finish=face.finish,
            area=HOLE_AREA.value,
            at=scene.centre(void),
        )


ACT = Act(
    name="hole in floor",
    sentence="Drill one 10 mm hole through the floor and look in with the borescope: {where}",
    method="borescope",
    minutes=judged(15.0, "min", "covering back, mark, drill, look, photograph"),
    find=_find,
    repair={"": judged(10.0, "min", "plug or dowel, covering back")},
    disturbance="hole",
    from_part="floor",
)

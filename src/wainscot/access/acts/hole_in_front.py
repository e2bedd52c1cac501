"""Drill a small hole through a front that is fixed: boxing, a boarded stair."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import HOLE_AREA, Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("front"):
        if not (scene.comes_off(face.finish) or scene.opens(face.finish)):
            yield Target(
                where=f"{scene.graph.words[void]}, from the {scene.room_names[face.room]}",
                key=f"{scene.graph.keys[void]}|{face.room}",
                reaches=(Reach(void, 0.6),),
                room=face.room,
                finish=face.finish,
                area=HOLE_AREA.value,
                at=scene.centre(void),
            )


ACT = Act(
    name="hole in front",
    sentence="Drill one 10 mm hole in the boarding and look in with the borescope: {where}",
    method="borescope",
    minutes=judged(12.0, "min", "mark, drill, look, photograph"),
    find=_find,
    repair={"": judged(10.0, "min", "plug, fill, touch up one small hole")},
    disturbance="hole",
    from_part="front",
)

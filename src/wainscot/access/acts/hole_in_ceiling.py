"""Drill a small hole through a ceiling and look into the joist bay or the loft from below."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import HOLE_AREA, Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("ceiling"):
        yield Target(
            where=f"{scene.graph.words[void]}, from the {scene.room_names[face.room]} below",
            key=f"{scene.graph.keys[void]}|{face.room}",
            reaches=(Reach(void, 0.4),),
            room=face.room,
            finish=face.finish,
            area=HOLE_AREA.value,
            at=scene.centre(void),
        )


ACT = Act(
    name="hole in ceiling",
    sentence="Drill one 10 mm hole in the ceiling and look in with the borescope: {where}",
    method="borescope",
    minutes=judged(15.0, "min", "ladder, sheet, mark, drill, look, photograph"),
    find=_find,
    repair={"": judged(15.0, "min", "fill and touch up a ceiling from a ladder")},
    disturbance="hole",
    from_part="ceiling",
)

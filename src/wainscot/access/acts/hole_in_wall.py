"""Drill a small hole through a wall's board and look in with a borescope.

One hole for one bay from one side; the hole is plugged afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import HOLE_AREA, Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("wall"):
        if scene.masonry(void):
            continue
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
    name="hole in wall",
    sentence="Drill one 10 mm hole low in the board and look in with the borescope: {where}",
    method="borescope",
    minutes=judged(12.0, "min", "mark, drill, look, photograph"),
    find=_find,
    repair={
        "": judged(10.0, "min", "plug, fill, touch up one small hole"),
        "tile": judged(30.0, "min", "drilled in a joint and regrouted"),
        "lath and plaster": judged(15.0, "min", "plaster crumbles round the hole"),
    },
    disturbance="hole",
    from_part="wall",
)

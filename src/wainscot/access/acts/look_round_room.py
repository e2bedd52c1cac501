"""Look round a room: skirtings, corners, behind what can be moved."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    for void in np.flatnonzero(~scene.graph.hidden):
        yield Target(
            where=scene.room_names.get(scene.graph.owners[void], scene.graph.words[void]),
            key=scene.graph.keys[void],
            reaches=(Reach(int(void), 0.8),),
            room=scene.graph.owners[void],
            at=scene.centre(int(void)),
        )


ACT = Act(
    name="look round a room",
    sentence="Look round the {where} with a lamp, along every skirting and behind what moves",
    method="eye and lamp",
    minutes=judged(10.0, "min", "one room, furniture pulled forward"),
    find=_find,
)

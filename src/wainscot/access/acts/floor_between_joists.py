"""Open the floor between two joists from above, once or at several places along the bay."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.flat_cuts import between_joists
from wainscot.access.model import Act, Target
from wainscot.access.scene import ENTERED, Scene


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("floor"):
        if scene.graph.kinds[void] not in ENTERED:
            board = scene.plan.storey(scene.plan.room(face.room).storey).floor.board
            target = between_joists(scene, void, face, "floor", board)
            if target is not None:
                yield target


ACT = Act(
    name="floor between joists",
    sentence="Open the floor between two joists: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="floor_between_joists",
    disturbance="cut",
    from_part="floor",
)

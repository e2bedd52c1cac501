"""Open a ceiling between two joists from the room below."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.flat_cuts import between_joists
from wainscot.access.model import Act, Target
from wainscot.access.scene import ENTERED, Scene


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("ceiling"):
        if scene.graph.kinds[void] not in ENTERED and not scene.comes_off(face.finish):
            board = scene.plan.storey(scene.plan.room(face.room).storey).ceiling_board
            target = between_joists(scene, void, face, "ceiling", board)
            if target is not None:
                yield target


ACT = Act(
    name="ceiling between joists",
    sentence="Open the ceiling between two joists from below: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="ceiling_between_joists",
    disturbance="cut",
    from_part="ceiling",
)

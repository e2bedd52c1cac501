"""Find out how a wall is framed by knocking, a stud finder and the reveal of a door or hatch."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    storeys = {storey.id for storey in scene.plan.storeys}
    for question, entity in scene.questions:
        if entity not in storeys:
            yield Target(where=question, key=question, answers=question)


ACT = Act(
    name="framing looked at",
    sentence="Knock, use a stud finder and look at reveals to settle the framing: {where}",
    method="",
    minutes=judged(12.0, "min", "one wall"),
    find=_find,
    right=0.8,
)

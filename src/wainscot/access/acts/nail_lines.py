"""Find which way the joists run: nail lines in the boards, a magnet, a stud finder."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged


def _find(scene: Scene) -> Iterator[Target]:
    storeys = {storey.id: storey.name for storey in scene.plan.storeys}
    for question, entity in scene.questions:
        if entity in storeys:
            yield Target(where=question, key=question, answers=question)


ACT = Act(
    name="nail lines",
    sentence="Find the nail lines in the floor or ceiling (magnet or stud finder): {where}",
    method="",
    minutes=judged(8.0, "min", "carpet corner back, or a magnet along the ceiling"),
    find=_find,
    right=0.93,
)

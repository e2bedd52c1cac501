"""Move out what is on gas or fixed mains, once somebody licensed has undone it: a cooker."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    return (one for _, one in scene.taken_out("licensed"))


ACT = Act(
    name="connected fixture out",
    sentence="Have it disconnected, move it out and put it back: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="connected_fixture_out",
    licensed=True,
    disturbance="taken off",
)

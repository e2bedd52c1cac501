"""Move what stands loose and put it back: no water to turn off."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    return (one for _, one in scene.taken_out("dry"))


ACT = Act(
    name="loose fixture out",
    sentence="Move it out and put it back: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="loose_fixture_out",
    disturbance="taken off",
)

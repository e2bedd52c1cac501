"""Take a whole run of cabinets out and put it back."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    return (one for key, one in scene.taken_out("plumbed") if scene.has_kick(key))


ACT = Act(
    name="cabinet run out",
    sentence="Take the whole run of cabinets out and put it back: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="cabinet_run_out",
    water_off=True,
    disturbance="taken off",
)

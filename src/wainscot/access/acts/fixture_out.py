"""Take a fixture out and put it back: a bath, a WC."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    return (one for key, one in scene.taken_out("plumbed") if not scene.has_kick(key))


ACT = Act(
    name="fixture out",
    sentence="Take it out and put it back: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="fixture_out",
    water_off=True,
    disturbance="taken off",
)

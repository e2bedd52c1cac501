"""Cut as somebody on the job drew it, in a ceiling."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Target
from wainscot.access.own_cuts import own_targets
from wainscot.access.scene import Scene


def _find(scene: Scene) -> Iterator[Target]:
    return own_targets(scene, "ceiling")


ACT = Act(
    name="own cut in ceiling",
    sentence="Cut the ceiling as drawn: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="own_cut",
    disturbance="cut",
    from_part="ceiling",
)

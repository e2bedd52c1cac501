"""Cut a small hole low in a bay and close it with a panel that comes off again.

Nothing is filled or painted; the panel stays in sight.
"""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.panels import Panel, largest_free
from wainscot.access.scene import Scene
from wainscot.access.surfaces import bays, wall_cut, wall_obstacles
from wainscot.sources import judged

HIGH = judged(0.6, "m", "a panel as sold, low in the bay")
LEAST_WIDE, LEAST_HIGH = 0.2, 0.3


def _find(scene: Scene) -> Iterator[Target]:
    for bay in bays(scene):
        obstacles = wall_obstacles(scene, bay.wall, bay.room)
        free = largest_free(bay.panel, obstacles, LEAST_WIDE, LEAST_HIGH)
        if free is None:
            continue
        top = min(free.v_high, free.v_low + HIGH.value)
        panel = Panel(free.u_low, free.u_high, free.v_low, top)
        cut = wall_cut(scene, bay.wall, bay.room, panel)
        yield Target(
            where=f"{scene.graph.words[bay.void]}, from the {scene.room_names[bay.room]}",
            key=f"{scene.graph.keys[bay.void]}|{bay.room}",
            reaches=(Reach(bay.void, bay.share(panel)),),
            room=bay.room,
            finish=bay.finish,
            area=cut.area,
            at=scene.centre(bay.void),
            cuts=(cut,),
        )


ACT = Act(
    name="access panel",
    sentence="Cut a hole low in the wall and close it with an access panel: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="access_panel",
    made_good=False,
    disturbance="cut",
    from_part="wall",
)

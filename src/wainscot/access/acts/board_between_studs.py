"""Cut the board between two studs, from one face: a bay laid open low down, where soil lies."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.flat_cuts import patch_verdicts
from wainscot.access.model import Act, Reach, Target
from wainscot.access.panels import Panel, largest_free
from wainscot.access.scene import Scene
from wainscot.access.surfaces import Bay, bays, wall_cut, wall_obstacles, wall_surface
from wainscot.sources import judged

HIGH = judged(1.2, "m", "half a sheet: hands and wand reach the rest of the bay")
LEAST_WIDE, LEAST_HIGH = 0.1, 0.25


def _find(scene: Scene) -> Iterator[Target]:
    for bay in bays(scene):
        free = largest_free(
            bay.panel, wall_obstacles(scene, bay.wall, bay.room), LEAST_WIDE, LEAST_HIGH
        )
        if free is not None:
            yield _target(scene, bay, free)


def _target(scene: Scene, bay: Bay, free: Panel) -> Target:
    panel = Panel(free.u_low, free.u_high, free.v_low, min(free.v_high, free.v_low + HIGH.value))
    cut = wall_cut(scene, bay.wall, bay.room, panel)
    return Target(
        where=f"{scene.graph.words[bay.void]}, from the {scene.room_names[bay.room]}",
        key=f"{scene.graph.keys[bay.void]}|{bay.room}",
        reaches=(Reach(bay.void, bay.share(panel)),),
        room=bay.room,
        finish=bay.finish,
        area=cut.area,
        at=scene.centre(bay.void),
        cuts=(cut,),
        surface=wall_surface(scene, bay.wall, bay.room),
        limits=patch_verdicts(scene, (cut,), "board"),
    )


ACT = Act(
    name="board between studs",
    sentence="Cut the board between two studs: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="board_between_studs",
    disturbance="cut",
    from_part="wall",
)

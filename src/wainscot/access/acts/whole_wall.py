"""Take the whole board off one face of a wall, to its corners, without a saw."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.panels import Panel
from wainscot.access.scene import Scene
from wainscot.access.surfaces import NEAR, Bay, rows, wall_cut, wall_obstacles, wall_surface


def _find(scene: Scene) -> Iterator[Target]:
    for row in rows(scene).values():
        if _free_standing(scene, row):
            yield _target(scene, row)


def _free_standing(scene: Scene, row: list[Bay]) -> bool:
    """Return True where no fixture stands before the wall."""
    level = scene.plan.storey(row[0].wall.storey).elevation
    obstacles = wall_obstacles(scene, row[0].wall, row[0].room)
    fixed = [one for one in obstacles if one.v_low < level - 0.5 and one.v_high > level + NEAR]
    whole = Panel(row[0].wall.low, row[0].wall.high, level, level + 3.0)
    return not any(one.meets(whole) for one in fixed)


def _target(scene: Scene, row: list[Bay]) -> Target:
    wall, room = row[0].wall, row[0].room
    storey, surface = scene.plan.storey(wall.storey), wall_surface(scene, wall, room)
    floor = storey.elevation
    whole = Panel(wall.low, wall.high, floor, floor + storey.height)
    cut = wall_cut(scene, wall, room, whole, sawn=False)
    return Target(
        where=f"{surface.words}, {len(row)} voids behind it",
        key=surface.key,
        reaches=tuple(Reach(bay.void, 1.0) for bay in row),
        room=room,
        finish=row[0].finish,
        area=surface.area,
        at=scene.centre(row[len(row) // 2].void),
        cuts=(cut,),
        surface=surface,
    )


ACT = Act(
    name="whole wall",
    sentence="Take the board off a whole wall: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="whole_wall",
    disturbance="cut",
    from_part="wall",
)

"""Take up the whole floor of a room between its fixtures: its bays, and the low void under them."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from wainscot.access.model import Act, CutAt, Reach, Target
from wainscot.access.scene import ENTERED, Scene
from wainscot.access.surfaces import Flat, flat_surface


def _find(scene: Scene) -> Iterator[Target]:
    by_room: dict[str, list[int]] = {}
    finishes: dict[str, str] = {}
    for void, face in scene.faces("floor"):
        if scene.graph.kinds[void] not in ENTERED:
            by_room.setdefault(face.room, []).append(void)
            finishes[face.room] = face.finish
    for room, bays in sorted(by_room.items()):
        yield _target(scene, room, bays, finishes[room])


def _target(scene: Scene, key: str, bays: list[int], finish: str) -> Target:
    room = scene.plan.room(key)
    storey, surface = scene.plan.storey(room.storey), flat_surface(scene, room, "floor")
    free = shapely.Polygon(room.polygon)
    for fixture in scene.plan.fixtures:
        if fixture.room == key:
            free = free - shapely.Polygon(fixture.ring)
    cut = CutAt(
        part="floor", room=key, side="", outline=room.polygon, bottom=storey.elevation,
        top=storey.elevation, area=float(free.area), board=storey.floor.board, sawn=False,
    )  # fmt: skip
    reaches = [
        Reach(void, share) for void in bays if (share := Flat(scene, void, key, "floor").share())
    ]
    for low in sorted({under for void in bays if (under := scene.low_space(void)) is not None}):
        whole = shapely.Polygon(scene.graph.polygon[low])
        reaches.append(Reach(low, float((whole & free).area / whole.area)))
    return Target(
        where=f"{scene.room_names[key]}, {len(reaches)} voids under it",
        key=key,
        reaches=tuple(reaches),
        room=key,
        finish=finish,
        area=cut.area,
        at=scene.centre(bays[len(bays) // 2]),
        cuts=(cut,),
        surface=surface,
    )


ACT = Act(
    name="whole floor",
    sentence="Take up the whole floor: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="whole_floor",
    disturbance="cut",
    from_part="floor",
)

"""Take down the whole ceiling of a room, to its corners: every bay over it lies open."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, CutAt, Reach, Target
from wainscot.access.scene import ENTERED, Scene
from wainscot.access.surfaces import Flat, flat_surface


def _find(scene: Scene) -> Iterator[Target]:
    by_room: dict[str, list[int]] = {}
    finishes: dict[str, str] = {}
    for void, face in scene.faces("ceiling"):
        if scene.graph.kinds[void] not in ENTERED and not scene.comes_off(face.finish):
            by_room.setdefault(face.room, []).append(void)
            finishes[face.room] = face.finish
    for room, voids in sorted(by_room.items()):
        yield _target(scene, room, voids, finishes[room])


def _target(scene: Scene, key: str, voids: list[int], finish: str) -> Target:
    room = scene.plan.room(key)
    storey, surface = scene.plan.storey(room.storey), flat_surface(scene, room, "ceiling")
    level = storey.elevation + storey.height
    cut = CutAt(
        part="ceiling", room=key, side="", outline=room.polygon, bottom=level, top=level,
        area=surface.area, board=storey.ceiling_board, sawn=False,
    )  # fmt: skip
    return Target(
        where=f"{scene.room_names[key]}, {len(voids)} voids over it",
        key=key,
        reaches=tuple(
            Reach(void, share)
            for void in voids
            if (share := Flat(scene, void, key, "ceiling").share())
        ),
        room=key,
        finish=finish,
        area=surface.area,
        at=scene.centre(voids[len(voids) // 2]),
        cuts=(cut,),
        surface=surface,
    )


ACT = Act(
    name="whole ceiling",
    sentence="Take down the whole ceiling: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="whole_ceiling",
    disturbance="cut",
    from_part="ceiling",
)

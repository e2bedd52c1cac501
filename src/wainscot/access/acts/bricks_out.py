"""Take a few bricks out of the inner leaf, low down, at one or more places along a cavity.

Which and how many is for a competent person to say; see the hold point for masonry.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from wainscot.access.model import Act, CutAt, Reach, Target
from wainscot.access.panels import Panel, largest_free
from wainscot.access.reaching import reach, share_reached
from wainscot.access.scene import Scene
from wainscot.access.surfaces import (
    BOARDED,
    stretch,
    wall_cut,
    wall_obstacles,
    wall_panel,
    wall_surface,
)
from wainscot.plan.model import Wall
from wainscot.sources import judged

WIDE = judged(0.45, "m", "two stretchers, so that an arm goes in")
HIGH = judged(0.225, "m", "three courses")
LEAST_WIDE, LEAST_HIGH = 0.3, 0.15
LOW = 1.0
"""Bricks come out within this height of the floor. [m]"""
BESIDE = judged(0.3, "m", "brickwork left beside a door or window")


def _find(scene: Scene) -> Iterator[Target]:
    for void, face in scene.faces("wall"):
        wall = stretch(scene, void)
        if wall is None or wall.build != "cavity" or scene.graph.kinds[void] in BOARDED:
            continue
        whole = wall_panel(wall, scene, void)
        cuts = tuple(_cuts(scene, wall, face.room, whole))
        if cuts:
            ends = [sorted(wall.side.on_axis(p) for p in cut.outline) for cut in cuts]
            spans = [(low, high) for low, high in ends]
            share = share_reached(whole.u_low, whole.u_high, spans, wall.cavity)
            yield Target(
                where=f"{scene.graph.words[void]}, from the {scene.room_names[face.room]}",
                key=f"{scene.graph.keys[void]}|{face.room}",
                reaches=(Reach(void, share),),
                room=face.room,
                finish=face.finish,
                area=sum(cut.area for cut in cuts),
                at=scene.centre(void),
                cuts=cuts,
                surface=wall_surface(scene, wall, face.room),
            )


def _cuts(scene: Scene, wall: Wall, room: str, whole: Panel) -> Iterator[CutAt]:
    floor = scene.plan.storey(wall.storey).elevation
    openings = [
        Panel(one.low - BESIDE.value, one.high + BESIDE.value, floor - 1.0, floor + one.head)
        for one in wall.openings
    ]
    obstacles = [*wall_obstacles(scene, wall, room), *openings]
    count = max(1, math.ceil(whole.width / (2 * reach(wall.cavity) + WIDE.value) - 1e-9))
    for n in range(count):
        low = whole.u_low + whole.width * n / count
        high = whole.u_low + whole.width * (n + 1) / count
        window = Panel(low, high, floor + 0.05, floor + LOW)
        free = largest_free(window, obstacles, LEAST_WIDE, LEAST_HIGH)
        if free is not None:
            size = min(WIDE.value, free.width)
            start = min(max((low + high - size) / 2, free.u_low), free.u_high - size)
            top = min(free.v_low + HIGH.value, free.v_high)
            yield wall_cut(scene, wall, room, Panel(start, start + size, free.v_low, top))


ACT = Act(
    name="bricks out",
    sentence="Take bricks out of the inner leaf: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="bricks_out",
    disturbance="cut",
    from_part="wall",
)

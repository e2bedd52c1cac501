"""Cut a strip of board low along a wall, over several bays at once."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from wainscot.access.flat_cuts import patch_verdicts
from wainscot.access.model import Act, Reach, Target
from wainscot.access.panels import Panel, largest_free
from wainscot.access.scene import Scene
from wainscot.access.surfaces import Bay, rows, wall_cut, wall_obstacles, wall_surface
from wainscot.sources import judged

HIGH = judged(0.6, "m", "strip behind which a hand and a wand work up and down")
LEAST_HIGH = 0.3
BAYS = (2, 4)
"""Bays side by side that one strip lays open."""
WIDEST_MEMBER = 0.12


def _find(scene: Scene) -> Iterator[Target]:
    for row in rows(scene).values():
        obstacles = wall_obstacles(scene, row[0].wall, row[0].room)
        for count in BAYS:
            for start in range(len(row) - count + 1):
                some = row[start : start + count]
                free = _panel(some, obstacles) if _joined(some) else None
                if free is not None:
                    yield _target(scene, some, free)


def _joined(some: list[Bay]) -> bool:
    """Return True where the bays stand side by side on one sole plate."""
    return all(
        0 < b.panel.u_low - a.panel.u_high <= WIDEST_MEMBER
        and abs(a.panel.v_low - b.panel.v_low) < 0.02
        for a, b in itertools.pairwise(some)
    )


def _panel(some: list[Bay], obstacles: list[Panel]) -> Panel | None:
    low, high = max(b.panel.v_low for b in some), min(b.panel.v_high for b in some)
    whole = Panel(some[0].panel.u_low, some[-1].panel.u_high, low, high)
    free = largest_free(whole, obstacles, whole.width, LEAST_HIGH)
    if free is None:
        return None
    return Panel(free.u_low, free.u_high, free.v_low, min(free.v_high, free.v_low + HIGH.value))


def _target(scene: Scene, some: list[Bay], panel: Panel) -> Target:
    wall, room = some[0].wall, some[0].room
    cut = wall_cut(scene, wall, room, panel)
    labels = [scene.graph.labels[bay.void] for bay in some]
    return Target(
        where=f"{len(some)} bays {labels[0]} to {labels[-1]}, from the {scene.room_names[room]}",
        key="+".join(scene.graph.keys[bay.void] for bay in some) + f"|{room}",
        reaches=tuple(Reach(bay.void, bay.share(panel)) for bay in some),
        room=room,
        finish=some[0].finish,
        area=cut.area,
        at=scene.centre(some[len(some) // 2].void),
        cuts=(cut,),
        surface=wall_surface(scene, wall, room),
        limits=patch_verdicts(scene, (cut,), "board"),
    )


ACT = Act(
    name="strip of wall",
    sentence="Cut a strip of board along the wall: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="strip_of_wall",
    disturbance="cut",
    from_part="wall",
)

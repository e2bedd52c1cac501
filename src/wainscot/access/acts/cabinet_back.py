"""Empty a cabinet and cut its back: to the gap behind it, or on through the board into a stud bay.

What is cut is hidden again by the cabinet, so nothing is painted.
"""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.panels import Panel, largest_free
from wainscot.access.scene import Scene
from wainscot.access.surfaces import Bay, bays, wall_cut, wall_obstacles
from wainscot.plan.model import FixtureAt
from wainscot.sources import judged

ABOVE_KICK = judged(0.2, "m", "a cabinet's floor stands so high above the room's")
BELOW_TOP = judged(0.1, "m", "rail and worktop over a cabinet's back")
LEAST_WIDE, LEAST_HIGH = 0.1, 0.25


def _find(scene: Scene) -> Iterator[Target]:
    behind = list(bays(scene))
    for key, voids in scene.hidden_in.items():
        fixture = scene.fixtures[key]
        if not scene.has_kick(key):
            continue
        gaps = [void for void in voids if not scene.graph.faces[void]]
        for void in gaps:
            yield Target(
                where=scene.graph.words[void],
                key=scene.graph.keys[void],
                reaches=(Reach(void, 0.9),),
                room=fixture.room,
                at=scene.centre(void),
            )
        for bay in behind:
            target = _through(scene, fixture, bay) if bay.room == fixture.room else None
            if target is not None:
                yield target


def _through(scene: Scene, fixture: FixtureAt, bay: Bay) -> Target | None:
    """Return the cut through cabinet and board into a bay behind it, or None."""
    if bay.wall.side.turn != fixture.side.turn:
        return None
    floor = scene.plan.storey(fixture.storey).elevation
    along = [bay.wall.side.on_axis(corner) for corner in fixture.ring]
    seen = Panel(
        max(min(along), bay.panel.u_low),
        min(max(along), bay.panel.u_high),
        max(floor + ABOVE_KICK.value, bay.panel.v_low),
        min(floor + fixture.height - BELOW_TOP.value, bay.panel.v_high),
    )
    obstacles = wall_obstacles(scene, bay.wall, bay.room)
    before = [one for one in obstacles if one.v_low < floor - 0.5]
    if seen.area <= 0 or not any(one.meets(seen) for one in before):
        return None
    inside = [one for one in obstacles if one not in before]
    free = largest_free(seen, inside, LEAST_WIDE, LEAST_HIGH)
    if free is None:
        return None
    cut = wall_cut(scene, bay.wall, bay.room, free)
    return Target(
        where=f"{scene.graph.words[bay.void]}, from inside the {fixture.name or fixture.type}",
        key=f"{scene.graph.keys[bay.void]}|{fixture.id}",
        reaches=(Reach(bay.void, bay.share(free)),),
        room=bay.room,
        finish="cabinet back",
        area=cut.area,
        at=scene.centre(bay.void),
        cuts=(cut,),
    )


ACT = Act(
    name="cabinet back",
    sentence="Empty the cabinet and cut its back: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="cabinet_back",
    disturbance="cut",
    from_part="front",
)

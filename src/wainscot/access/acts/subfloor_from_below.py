"""Cut the subfloor from the crawl space into what stands on it: under a bath, under cabinets.

The cut lies between two joists and inside the outline of the void above.
"""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.flat_cuts import LEAST_LONG, LEAST_WIDE, LONG, patch_verdicts
from wainscot.access.model import Act, Reach, Target
from wainscot.access.panels import Panel, largest_free
from wainscot.access.reaching import share_reached
from wainscot.access.scene import Scene
from wainscot.access.surfaces import Flat, bounds_of, flat_surface

_LEVEL = 0.05


def _find(scene: Scene) -> Iterator[Target]:
    for fixture, voids in scene.hidden_in.items():
        room = scene.plan.room(scene.fixtures[fixture].room)
        floor = scene.plan.storey(room.storey)
        for void in voids:
            if abs(scene.graph.bottom[void] - floor.elevation) > _LEVEL:
                continue
            best = max(
                (
                    found
                    for bay in _under(scene, room.storey)
                    if (found := _cut(scene, void, bay, room.id))
                ),
                key=lambda one: one[1].area,
                default=None,
            )
            if best is not None:
                yield _target(scene, void, *best)


def _under(scene: Scene, storey: str) -> Iterator[int]:
    """Yield the open bays right under a storey's floor."""
    drawn = scene.plan.storey(storey)
    underside = drawn.elevation - drawn.floor.board
    return (bay for bay in scene.open_below() if abs(scene.graph.top[bay] - underside) < _LEVEL)


def _cut(scene: Scene, void: int, bay: int, room: str) -> tuple[Flat, Panel, int] | None:
    """Return where the bay's floor may be cut under the void, or None."""
    flat = Flat(scene, bay, room, "floor")
    if flat.panel is None:
        return None
    under = bounds_of(scene, void, flat.turn)
    both = Panel(
        max(under.u_low, flat.panel.u_low),
        min(under.u_high, flat.panel.u_high),
        max(under.v_low, flat.panel.v_low),
        min(under.v_high, flat.panel.v_high),
    )
    if both.width < LEAST_LONG or both.height < LEAST_WIDE:
        return None
    free = largest_free(both, flat.services(), LEAST_LONG, LEAST_WIDE)
    if free is None:
        return None
    size = min(LONG.value, free.width)
    middle = (free.u_low + free.u_high) / 2
    return flat, Panel(middle - size / 2, middle + size / 2, free.v_low, free.v_high), bay


def _target(scene: Scene, void: int, flat: Flat, panel: Panel, bay: int) -> Target:
    floor = scene.plan.storey(flat.room.storey).floor
    cut = flat.cut(panel, floor.board)
    space = scene.space_below(bay)
    under = bounds_of(scene, void, flat.turn)
    narrow = min(under.width, under.height, float(scene.graph.top[void] - scene.graph.bottom[void]))
    along = share_reached(under.u_low, under.u_high, [(panel.u_low, panel.u_high)], narrow)
    across = share_reached(under.v_low, under.v_high, [(panel.v_low, panel.v_high)], narrow)
    return Target(
        where=f"{scene.graph.words[void]}, through the floor at {scene.graph.labels[bay]}",
        key=f"{scene.graph.keys[void]}|{scene.graph.keys[bay]}",
        reaches=(Reach(void, along * across), Reach(bay, 0.95)),
        room=flat.room.id,
        finish="floor boards",
        area=cut.area,
        at=scene.centre(void),
        cuts=(cut,),
        surface=flat_surface(scene, flat.room, "floor"),
        enters="" if space is None else scene.graph.keys[space],
        limits=patch_verdicts(scene, (cut,), "subfloor"),
    )


ACT = Act(
    name="subfloor from below",
    sentence="Cut the subfloor from the crawl space: {where}",
    method="opened",
    find=_find,
    purpose="open",
    work="subfloor_from_below",
    disturbance="cut",
    enters=True,
    from_part="floor",
)

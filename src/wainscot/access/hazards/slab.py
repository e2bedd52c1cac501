"""Concrete floors, which may hold stressed tendons."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.breaks or act.from_part != "floor":
        return None
    room = next((one for one in scene.plan.rooms if one.id == target.room), None)
    if room is None or scene.plan.storey(room.storey).floor.build != "slab":
        return None
    return HoldPoint(
        key=f"slab/{target.room}",
        hazard="stressed tendons in the slab",
        standing="find out",
        words="A cut tendon lets go with great force. Look for a stamp or end caps; drawings alone "
        f"are not enough. No drilling, coring or fixing before a scan and an engineer's word. "
        f"{DEFER}",
        first="have the slab scanned and an engineer's word on tendons",
        who="a structural engineer",
        evidence="scan with the tendons marked, or a signed statement that there are none",
        source="guides to scanning stressed slabs, several agreeing (second-hand)",
        minutes=15.0,
    )


HAZARD = Hazard("slab", _find)

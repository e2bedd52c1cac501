"""Walls, floors and ceilings that hold back fire or noise between dwellings."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.breaks or not any(_between(scene, reach.void) for reach in target.reaches):
        return None
    return HoldPoint(
        key=f"rated wall/{target.key}",
        hazard="wall to a neighbour",
        standing="stop",
        words="A wall, floor or ceiling between dwellings is a fire barrier and may be shared. "
        "Every hole is made good with a tested system whose number is written down; common "
        f"foam is none. The neighbour may have to agree. {DEFER}",
        first="name the tested repair and settle who owns the wall",
        who="the building authority or a fire-stopping contractor; the neighbour where shared",
        evidence="number of the tested system; agreement where one is needed",
        source="ASTM E814 / UL 1479 through IBC 712, older edition (read); IRC R302.4.1 (from "
        "memory); UK Party Wall etc. Act 1996 (from memory)",
    )


def _between(scene: Scene, void: int) -> bool:
    wall = scene.wall_of(void)
    if wall is not None and wall.beyond == "neighbour":
        return True
    edges = {"floor": scene.plan.floor_edges, "ceiling": scene.plan.ceiling_edges}
    return any(
        edges[face.part].get(face.room) == "neighbour"
        for face in scene.graph.faces[void]
        if face.part in edges
    )


HAZARD = Hazard("rated wall", _find)

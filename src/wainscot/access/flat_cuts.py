"""Cuts in a floor or ceiling between two joists: where, how many, what they reach."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wainscot.access.cutting import Cut, Member, Verdict
from wainscot.access.judging import judge
from wainscot.access.model import CutAt, Reach, Target
from wainscot.access.panels import Panel, largest_free
from wainscot.access.reaching import reach, share_reached
from wainscot.access.scene import Scene
from wainscot.access.surfaces import Flat, flat_surface
from wainscot.sources import judged
from wainscot.voids.graph import Face

LONG = judged(0.6, "m", "cut along the joists through which an arm and a lamp go together")
LEAST_LONG, LEAST_WIDE = 0.3, 0.15
FILLS = judged(0.6, "1", "share of a bay's width past which a pipe stops hand and wand")


def between_joists(scene: Scene, void: int, face: Face, part: str, board: float) -> Target | None:
    """Return the opening of one bay from one room, or None where nothing can be cut there.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    void : int
        The bay.
    face : Face
        The floor or ceiling of the room.
    part : {"floor", "ceiling"}
        What is cut.
    board : float
        Its thickness. [m]
    """
    flat = Flat(scene, void, face.room, part)
    if flat.panel is None:
        return None
    panels = list(_panels(flat, flat.panel))
    if not panels:
        return None
    cuts = tuple(flat.cut(panel, board) for panel in panels)
    return Target(
        where=f"{scene.graph.words[void]}, from the {scene.room_names[face.room]}",
        key=f"{scene.graph.keys[void]}|{face.room}",
        reaches=(Reach(void, _share(flat, panels)),),
        room=face.room,
        finish=face.finish,
        area=sum(cut.area for cut in cuts),
        at=scene.centre(void),
        cuts=cuts,
        surface=flat_surface(scene, flat.room, part),
        limits=patch_verdicts(scene, cuts, "subfloor" if part == "floor" else "board"),
    )


def patch_verdicts(scene: Scene, cuts: tuple[CutAt, ...], kind: str) -> tuple[Verdict, ...]:
    """Return what the limits say to the patches that close these cuts, each thing once."""
    found = {
        verdict.rule: verdict
        for cut in cuts
        for verdict in judge(
            Member("subfloor" if kind == "subfloor" else "board", cut.board),
            Cut("patch", cut.area),
            scene.plan.country,
            scene.plan.units,
            scene.site.overrides,
        )
    }
    return tuple(found.values())


def _narrow(flat: Flat) -> float:
    graph = flat.scene.graph
    return min(flat.whole.height, float(graph.top[flat.void] - graph.bottom[flat.void]))


def _panels(flat: Flat, panel: Panel) -> Iterator[Panel]:
    """Yield one cut for each stretch of the bay that hand and wand reach from its middle."""
    obstacles = flat.obstacles()
    count = max(1, math.ceil(panel.width / (2 * reach(_narrow(flat)) + LONG.value) - 1e-9))
    for n in range(count):
        low = panel.u_low + panel.width * n / count
        high = panel.u_low + panel.width * (n + 1) / count
        window = Panel(low, high, panel.v_low, panel.v_high)
        least = min(LEAST_LONG, window.width), min(LEAST_WIDE, window.height)
        free = largest_free(window, obstacles, *least)
        if free is not None:
            yield _middle(free, (low + high) / 2)


def _middle(free: Panel, wanted: float) -> Panel:
    """Return the part of a free panel that is as long as a cut and lies nearest to ``wanted``."""
    size = min(LONG.value, free.width)
    low = min(max(wanted - size / 2, free.u_low), free.u_high - size)
    return Panel(low, low + size, free.v_low, free.v_high)


def _share(flat: Flat, panels: list[Panel]) -> float:
    whole = flat.whole
    filled = [
        (one.u_low, one.u_high)
        for one in flat.services()
        if min(one.v_high, whole.v_high) - max(one.v_low, whole.v_low) > FILLS.value * whole.height
        and one.width < 0.5 * whole.width
    ]
    ends = [(panel.u_low, panel.u_high) for panel in panels]
    return share_reached(whole.u_low, whole.u_high, ends, _narrow(flat), filled)

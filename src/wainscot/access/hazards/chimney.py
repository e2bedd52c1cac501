"""The air space round a chimney or flue, which is there for fire safety."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene
from wainscot.sources import Cited

CLEARANCE = Cited(0.0508, "m", "IRC R1003.18", "2 in inside or in an outside wall", "read")


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.breaks:
        return None
    words = [scene.graph.words[reach.void] for reach in target.reaches]
    if not any("chimney" in one or "flue" in one for one in words):
        return None
    return HoldPoint(
        key=f"chimney/{target.key}",
        hazard="clearance round a chimney",
        standing="stop",
        words=f"The {CLEARANCE.value * 1000:.0f} mm of air round a chimney keeps timber from the "
        "heat. Nothing may be left in it or filled into it, save a fireblock that cannot burn. "
        f"Fire out and cold before anybody drills. {DEFER}",
        first="see that the fire is out and the flue cold",
        who="a chimney or heating contractor",
        evidence="fire out, flue cold, space left clear",
        source=f"{CLEARANCE.source} (read)",
    )


HAZARD = Hazard("chimney", _find)

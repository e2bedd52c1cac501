"""Live parts laid open where an accessory's plate comes off."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.bares_terminals:
        return None
    return HoldPoint(
        key=f"live parts/{target.key}",
        hazard="live parts behind the plate",
        standing="stop",
        words="Terminals lie open once the plate is off. Isolate, lock off and prove dead. "
        f"{DEFER}",
        first="isolate the circuit, lock it off and prove it dead",
        who="a competent or licensed electrician",
        evidence="circuit named, locked off, proved dead at the accessory",
        source="29 CFR 1926.416(a) and 1926.417 (from memory); BS 7671 and UK practice: isolate "
        "and prove dead (from memory)",
        minutes=10.0,
    )


HAZARD = Hazard("live parts", _find)

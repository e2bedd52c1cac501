"""Gas or fixed mains at an appliance that is to be moved out."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.licensed:
        return None
    return HoldPoint(
        key=f"connection/{target.key}",
        hazard="gas or fixed mains",
        standing="stop",
        words="It may be on gas or fixed mains, and a strained hose or flex leaks or shorts out of "
        "sight. Whoever is licensed for it disconnects it, connects it again and tests it. If "
        f"you smell gas, stop, get out and call the gas emergency service. {DEFER}",
        first="have gas or mains disconnected by somebody licensed for it",
        who="a licensed gas fitter or electrician",
        evidence="name of the fitter, disconnected on, connected again and tested on",
        source="work on gas is for licensed people in the US, the UK and Canada: common practice, "
        "no source",
    )


HAZARD = Hazard("connection", _find)

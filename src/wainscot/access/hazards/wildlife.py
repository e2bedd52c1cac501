"""Bats and nesting birds in roofs, which the law protects."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not any(scene.graph.kinds[reach.void] == "loft" for reach in target.reaches):
        return None
    law = (
        "UK: bats and their roosts are protected, also while empty; nests in use are protected."
        if scene.site.country == "UK"
        else "Bats and most wild birds, their nests and young may be protected by law."
    )
    return HoldPoint(
        key="wildlife/loft",
        hazard="bats and nesting birds",
        standing="care",
        words=f"{law} Look before you stir anything; if there are any, leave and ask the "
        f"conservation authority. {DEFER}",
        first="look for bats, droppings of bats, and nests",
        who="the conservation authority or a licensed bat worker",
        evidence="their written advice",
        source="Wildlife and Countryside Act 1981 and Habitats Regulations 2017 through a "
        "conservation charity's page (second-hand); US Migratory Bird Treaty Act (from memory)",
    )


HAZARD = Hazard("wildlife", _find)

"""What rats and mice leave behind can make people ill: dust and splashes.

Everywhere that may be soiled, so on every act that opens a hidden void.
"""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene
from wainscot.sources import Cited

SOAK = Cited(
    5.0,
    "min",
    "CDC, Clean Up! (rodents)",
    "soak 5 minutes; a newer revision: or the label's time",
    "read",
)


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not any(scene.graph.hidden[reach.void] for reach in target.reaches):
        return None
    return HoldPoint(
        key="infection/house",
        hazard="infection",
        standing="care",
        words="Gloves on; no sweeping, no vacuum, no blowing. Wet droppings, urine and nests with "
        f"a disinfectant until soaked, leave it {SOAK.value:.0f} minutes or what the label says, "
        f"then wipe up. Wet places stay risky longer; cover cuts. {DEFER}",
        first="put gloves on and have the disinfectant ready",
        who="whoever leads the work",
        evidence="gloves and disinfectant at hand",
        source=f"{SOAK.source} (read); leptospires die on drying and last in water: Nau et al. "
        "2020 (abstract read); covering cuts: university sheet (read)",
    )


HAZARD = Hazard("infection", _find)

"""Crawl spaces, lofts and other places that a body enters by a narrow way."""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.enters:
        return None
    return HoldPoint(
        key=f"confined space/{target.enters or target.key}",
        hazard="confined space",
        standing="stop",
        words="Big enough to enter, hard to leave, not made to stay in. A competent person "
        "classifies each such space before anybody enters: bad air, bare wires, heat, unsafe "
        f"footing. Nobody enters alone. {DEFER}",
        first="have a competent person classify the space",
        who="the employer's competent person",
        evidence="written classification with date; somebody outside while anybody is inside",
        source="29 CFR 1926.1202 and 1926.1203 through OSHA's memorandum of 24 May 2016 (read); "
        "that nobody enters alone is common practice, no source",
        minutes=10.0,
    )


HAZARD = Hazard("confined space", _find)

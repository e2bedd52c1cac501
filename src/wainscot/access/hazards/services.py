"""Cables, gas, water and drains behind what is to be drilled or cut.

A plan is never complete, so what runs behind a finish counts as unknown until somebody has swept
it, also where nothing is drawn.
"""

from __future__ import annotations

from wainscot.access.model import DEFER, Act, Hazard, HoldPoint, Target
from wainscot.access.scene import Scene

_DOES = {
    "cable": "a cable",
    "gas": "a gas pipe",
    "supply": "a water pipe",
    "drain": "a drain",
    "vent": "a vent pipe",
    "duct": "a duct",
}


def _find(scene: Scene, act: Act, target: Target) -> HoldPoint | None:
    if not act.breaks:
        return None
    drawn = sorted(
        {_DOES.get(run.type, run.type) for r in target.reaches for run in scene.runs[r.void]}
    )
    known = f"{_listed(drawn).capitalize()} is drawn here. " if drawn else ""
    gas = "Gas: locate it and shut it at the valve first. " if "a gas pipe" in drawn else ""
    return HoldPoint(
        key=f"services/{target.key}",
        hazard="services behind the finish",
        standing="find out",
        words=f"{known}A plan does not show everything that runs behind a finish. {gas}{DEFER}",
        first="sweep for cables and pipes and prove the circuit dead",
        who="the person who swept it; for the circuit a competent or licensed electrician",
        evidence="detector readings marked on the finish; circuit isolated and proved dead",
        source="29 CFR 1926.416(a): concealed circuits are found by inquiry, observation or "
        "instruments before work starts (second-hand); BS 7671 zones for concealed cables "
        "(second-hand); shut-off of gas is common practice, no source",
        minutes=10.0,
    )


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]


HAZARD = Hazard("services", _find)

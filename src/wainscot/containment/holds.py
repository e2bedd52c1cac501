"""What must be settled before a fan runs.

An exhaust pulls a house below outdoors and can draw flue gas down an open-flued heater, a fireplace
or a gas dryer, and fumes out of an attached garage.  Until somebody has said and shown that
there is none, or has shut it off, no fan runs.

Limits: common practice and the usual caution; codes and the licensed trade decide.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.access.model import DEFER, HoldPoint

Answer = Literal["unknown", "none", "present"]


class Said(msgspec.Struct, frozen=True):
    """What somebody said about the house; ``unknown`` stands until then."""

    burners: Answer = "unknown"
    """An open-flued boiler, water heater or stove, a fireplace, a gas dryer."""
    garage: Answer = "unknown"
    """A garage that a door leads to."""
    air_handler: Answer = "unknown"
    """Ducts that move the house's air."""


_SOURCE = "common practice, no source"


def holds(said: Said, released: frozenset[str] = frozenset()) -> tuple[HoldPoint, ...]:
    """Return the hold points of a containment, the worst first.

    Parameters
    ----------
    said : Said
        What is known of the house.
    released : frozenset of str
        Keys that a named person has released.
    """
    found = [_burners(said), _garage(said), _air_handler(said), _outlet()]
    kept = (one for one in found if one and (one.standing == "care" or one.key not in released))
    return tuple(kept)


def _burners(said: Said) -> HoldPoint | None:
    if said.burners == "none":
        return None
    here = "There is" if said.burners == "present" else "There may be"
    return HoldPoint(
        key="combustion/house", hazard="combustion",
        standing="stop" if said.burners == "present" else "find out",
        words=f"{here} a fire with an open flue (boiler, water heater, stove, fireplace, gas "
        "dryer). The exhaust can draw its carbon monoxide into the house, and that kills without "
        f"a smell. No fan runs before this is settled. {DEFER}",
        first="find every appliance that burns; shut each open-flued one off and keep it off, or "
        "have it shown that it draws its air from outdoors; set a carbon monoxide alarm in the "
        "work area and where people sleep",
        who="the licensed heating trade where anything burns; else whoever leads the work",
        evidence="list of appliances, each off or of the sealed sort; alarm tested today",
        source=_SOURCE,
    )  # fmt: skip


def _garage(said: Said) -> HoldPoint | None:
    if said.garage == "none":
        return None
    return HoldPoint(
        key="garage/house", hazard="garage",
        standing="stop" if said.garage == "present" else "find out",
        words="The exhaust draws on an attached garage as on outdoors: exhaust gas, petrol, "
        f"solvents. {DEFER}",
        first="no engine runs, the door to the house is shut and taped, a carbon monoxide alarm "
        "stands inside it",
        who="whoever leads the work", evidence="door taped, key of the car with the lead",
        source=_SOURCE,
    )  # fmt: skip


def _air_handler(said: Said) -> HoldPoint | None:
    if said.air_handler == "none":
        return None
    return HoldPoint(
        key="air_handler/house", hazard="air handler",
        standing="stop" if said.air_handler == "present" else "find out",
        words="Ducts carry what is stirred up into every room, and a running blower upsets the "
        f"pressure. {DEFER}",
        first="air handler off at its switch and tagged; registers and returns of the work area "
        "closed and taped",
        who="whoever leads the work", evidence="switch tagged, registers taped, photo",
        source=_SOURCE,
    )  # fmt: skip


def _outlet() -> HoldPoint:
    return HoldPoint(
        key="outlet/house", hazard="outlet", standing="care",
        words="What the exhaust blows out must not come in again: outlet clear of windows, doors, "
        "air intakes and of people, hose tied, filter seated and checked.",
        first="walk round the outlet and shut the windows near it",
        who="whoever leads the work", evidence="seen", source=_SOURCE,
    )  # fmt: skip

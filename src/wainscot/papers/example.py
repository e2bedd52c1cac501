"""A small house of our own making that every paper has something to say of.

    walk(house(), book=read_book(RATES), label=read_label(LABEL), closing=Terms())

Nothing in it is a real place or person, and no number in it is evidence of anything.
"""

from __future__ import annotations

from typing import Any

from wainscot.job import Job

RATES = """
currency = "EUR"
hour = 54
"""
LABEL = """
product = "disinfectant"
registration = "none: an example, not a product"
contact_time = "10 min"
dilution = "1:64"
surfaces = ["sealed", "wood", "gypsum paper", "masonry"]
"""
PHOTO = "5f" * 32
"""SHA-256 that the example's photo goes by."""


def house() -> Job:
    """Return the house: a kitchen with droppings under its cabinets, a bathroom, work half done."""
    return Job(id="job_example", title="Example: 4 Weir Lane", units="m",
               entities=_DRAWN | _LOOKED | _AGREED | _DONE)  # fmt: skip


_DRAWN: dict[str, dict[str, Any]] = {
    "settings": {"kind": "settings", "country": "UK", "year_built": 1934},
    "suspect": {"kind": "species", "species": "norway rat"},
    "ground": {
        "kind": "storey", "name": "Ground floor", "level": 0, "height": 2.4, "ceiling": "loft",
        "floor": {"build": "joists", "below": "ground", "joists_run": "x"},
    },
    "kitchen": {
        "kind": "room", "name": "Kitchen", "storey": "ground",
        "polygon": [[0, 0], [3.2, 0], [3.2, 3.6], [0, 3.6]],
    },
    "bathroom": {
        "kind": "room", "name": "Bathroom", "storey": "ground",
        "polygon": [[3.3, 0], [5.5, 0], [5.5, 3.6], [3.3, 3.6]],
    },
    "edge_west": {"kind": "edge", "room": "kitchen", "side": "w1", "is": "outside"},
    "edge_kitchen_north": {"kind": "edge", "room": "kitchen", "side": "n1", "is": "outside"},
    "edge_bathroom_north": {"kind": "edge", "room": "bathroom", "side": "n1", "is": "outside"},
    "edge_east": {"kind": "edge", "room": "bathroom", "side": "e1", "is": "neighbour"},
    "partition": {
        "kind": "wall", "room": "kitchen", "side": "e1", "build": "stud", "stud_spacing": "400 mm",
    },
    "door": {
        "kind": "opening", "room": "kitchen", "side": "e1", "type": "door", "along": 2.6,
        "width": 0.76,
    },
    "bath": {
        "kind": "fixture", "type": "bath", "room": "bathroom", "against": "n1", "along": 0.0,
        "name": "Bath",
    },
    "units": {
        "kind": "fixture", "type": "base cabinet run", "room": "kitchen", "against": "n1",
        "along": 0.0, "width": 2.4, "name": "Sink units",
    },
    "feed": {
        "kind": "service", "type": "cable", "name": "cooker cable",
        "path": [[3.25, 1.2, 0.0], [3.25, 1.2, 1.4]],
    },
    "waste": {
        "kind": "service", "type": "drain", "diameter": "43 mm", "hole": "64 mm",
        "path": [[3.5, 3.2, 0.2], [3.5, 3.2, -0.25]],
    },
    "old_drain": {
        "kind": "service", "type": "drain", "diameter": "110 mm", "disused": True,
        "open_end": "end", "name": "Disused drain", "path": [[1, 4.6, -0.35], [1, 3.2, -0.25]],
    },
    "broken_drain": {
        "kind": "entry_point", "name": "Broken drain under the sink units",
        "place": {"of": "old_drain"}, "size": "100 mm", "beyond": "drain",
    },
}  # fmt: skip

_LOOKED: dict[str, dict[str, Any]] = {
    "look_units": {
        "kind": "inspection", "place": {"of": "units"}, "share_seen": 0.5, "by": "M. Tanner",
        "at": "2026-05-04T10:00:00+01:00",
        "finds": [{"kind": "droppings", "amount": "many", "freshness": "fresh", "photos": [PHOTO]}],
    },
    "look_feed": {
        "kind": "inspection", "place": {"of": "feed"}, "share_seen": 0.3, "by": "M. Tanner",
        "at": "2026-05-04T10:10:00+01:00", "finds": [{"kind": "gnawing"}],
        "note": "sheath bitten through beside the socket",
    },
    "look_bath": {
        "kind": "inspection", "place": {"of": "bath"}, "share_seen": 0.4, "by": "M. Tanner",
        "at": "2026-05-04T10:20:00+01:00",
        "finds": [{"kind": "droppings", "amount": "few", "freshness": "old"}],
    },
    "noise": {
        "kind": "inspection", "method": "ear", "finished": False, "grade": "told",
        "place": {"storey": "ground", "at": [4.4, 3.0], "height": 0.0, "radius": 1.5},
        "at": "2026-05-03T23:00:00+01:00", "finds": [{"kind": "sound"}],
    },
}  # fmt: skip

_AGREED: dict[str, dict[str, Any]] = {
    "signed": {
        "kind": "authorisation", "by": "R. Alder", "at": "2026-05-05", "price": "1,150 EUR",
        "openings": ["panel off/bath/under|bath panel", "kick board off/units/under|kick board"],
    },
    "signed_wall": {
        "kind": "authorisation", "by": "R. Alder", "at": "2026-05-06",
        "openings": ["whole wall/kitchen|bathroom/w1|0.000"],
    },
    "refused": {
        "kind": "declined", "opening": "whole floor/bathroom", "by": "R. Alder",
        "at": "2026-05-05", "reason": "new tiles",
    },
    "terms": {
        "kind": "closing_terms", "by": "R. Alder", "at": "2026-05-05",
        "warranty": "We come back once without charge.", "warranty_until": "2027-05-20",
    },
    "crew": {"kind": "crew", "who": "M. Tanner", "leads": True},
}  # fmt: skip


def _check(trap: str, day: int, state: str, **more: Any) -> dict[str, Any]:
    return {"kind": "trap_check", "trap": trap, "at": f"2026-05-{day:02d}T09:00:00+01:00",
            "state": state, "by": "M. Tanner"} | more  # fmt: skip


_DONE: dict[str, dict[str, Any]] = {
    "label": {
        "kind": "product_label", "product": "disinfectant", "by": "M. Tanner",
        "registration": "none: an example, not a product", "contact_time": "10 min",
        "dilution": "1:64", "surfaces": ["sealed", "wood", "gypsum paper", "masonry"],
        "at": "2026-05-06", "photo": PHOTO,
    },
    "wet": {
        "kind": "application", "label": "label", "place": {"of": "bath"}, "surface": "wood",
        "at": "2026-05-06T10:00:00+01:00", "air": "18 C", "humidity": "55 %", "by": "M. Tanner",
    },
    "wet_again": {
        "kind": "contact", "application": "wet", "at": "2026-05-06T10:06:00+01:00",
        "what": "wet again", "by": "M. Tanner",
    },
    "wet_end": {
        "kind": "contact", "application": "wet", "at": "2026-05-06T10:14:00+01:00",
        "what": "end", "by": "M. Tanner",
    },
    "ticked": {
        "kind": "tick", "of": "step/wear", "by": "M. Tanner", "at": "2026-05-06T09:45:00+01:00",
        "words": "Everything under Wear is on before anything is touched.",
    },
    "crew_in": {
        "kind": "crew_log", "who": "M. Tanner", "what": "in", "at": "2026-05-06T09:50:00+01:00",
    },
    "opened_units": {
        "kind": "inspection", "method": "opened", "by": "M. Tanner",
        "at": "2026-05-06T09:30:00+01:00",
        "place": {"storey": "ground", "at": [1.2, 3.3], "height": 0.05},
        "finds": [{"kind": "opened and seen", "amount": "heavy"}],
    },
    "drain_capped": {
        "kind": "seal", "closes": "broken_drain", "material": "drain cap", "by": "M. Tanner",
        "at": "2026-05-07", "photo": PHOTO, "inspect_at": "2026-11-07",
    },
    "trap_1": {"kind": "trap", "place": {"of": "units"}, "at": "2026-05-07T10:00:00+01:00"},
    "trap_2": {"kind": "trap", "place": {"of": "bath"}, "at": "2026-05-07T10:00:00+01:00"},
    "check_1a": _check("trap_1", 9, "caught", species="norway rat"),
    "check_2a": _check("trap_2", 9, "sprung"),
    "check_1b": _check("trap_1", 12, "set"),
    "check_2b": _check("trap_2", 12, "set", note="moved to the wall"),
    "damp": {
        "kind": "air_reading", "room": "bathroom", "at": "2026-05-08T09:00:00+01:00",
        "of": "moisture percent", "value": 14.0, "by": "M. Tanner",
    },
}  # fmt: skip

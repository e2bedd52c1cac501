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
        "finds": [{"kind": "droppings", "amount": "many", "freshness": "fresh"}],
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

_AGREED: dict[str, dict[str, Any]] = {}

_DONE: dict[str, dict[str, Any]] = {}

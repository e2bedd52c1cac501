"""Small houses of our own making that tests share; every call gives a fresh dict.

``bungalow()`` is the smallest one with a bit of everything: two rooms, a bath, a run of base
cabinets, a disused drain, one entry point, five inspections.  ``semi()`` has two storeys of four
rooms each, ``ranch()`` is framed in inches over a crawl space.  ``as_job`` makes a Job of one.
"""

from __future__ import annotations

from typing import Any

from wainscot.job import Job

Document = dict[str, Any]


def as_job(document: Document) -> Job:
    """Return the Job that a job file with this content folds to."""
    return Job(
        id=document["id"],
        title=document.get("title", ""),
        units=document.get("units", "m"),
        entities=document["entities"],
    )


def rectangle(west: float, south: float, east: float, north: float) -> list[list[float]]:
    """Return a room polygon [m], anticlockwise from the south-west corner."""
    return [[west, south], [east, south], [east, north], [west, north]]


def _document(name: str, title: str, entities: dict[str, Any], units: str = "m") -> Document:
    return {"wainscot": 1, "id": name, "title": title, "units": units, "entities": entities}


def bungalow() -> Document:
    """Return a kitchen and a bathroom side by side, timber floor over shallow ground.

    The partition is 100 mm; bath on its kitchen side, cabinets on the kitchen's north wall, a
    disused drain broken off under the cabinets.
    """
    return _document(
        "job_bungalow",
        "Bungalow",
        {
            "settings": {"kind": "settings", "country": "UK", "year_built": 1934},
            "suspect": {"kind": "species", "species": "norway rat"},
            "ground": {
                "kind": "storey",
                "name": "Ground floor",
                "level": 0,
                "height": 2.4,
                "floor": {"build": "joists", "below": "ground", "joists_run": "x"},
                "ceiling": "loft",
            },
            "kitchen": {
                "kind": "room",
                "name": "Kitchen",
                "storey": "ground",
                "polygon": rectangle(0.0, 0.0, 3.2, 3.6),
            },
            "bathroom": {
                "kind": "room",
                "name": "Bathroom",
                "storey": "ground",
                "polygon": rectangle(3.3, 0.0, 5.5, 3.6),
            },
            "edge_west": {"kind": "edge", "room": "kitchen", "side": "w1", "is": "outside"},
            "edge_kitchen_north": {
                "kind": "edge",
                "room": "kitchen",
                "side": "n1",
                "is": "outside",
            },
            "edge_bathroom_north": {
                "kind": "edge",
                "room": "bathroom",
                "side": "n1",
                "is": "outside",
            },
            "edge_east": {"kind": "edge", "room": "bathroom", "side": "e1", "is": "neighbour"},
            "partition": {
                "kind": "wall",
                "room": "kitchen",
                "side": "e1",
                "build": "stud",
                "stud_spacing": "400 mm",
            },
            "door": {
                "kind": "opening",
                "room": "kitchen",
                "side": "e1",
                "type": "door",
                "along": 2.6,
                "width": 0.76,
            },
            "window": {
                "kind": "opening",
                "room": "kitchen",
                "side": "n1",
                "type": "window",
                "along": 1.2,
                "width": 1.0,
            },
            "bath": {
                "kind": "fixture",
                "type": "bath",
                "room": "bathroom",
                "against": "n1",
                "along": 0.0,
                "name": "Bath",
            },
            "units": {
                "kind": "fixture",
                "type": "base cabinet run",
                "room": "kitchen",
                "against": "n1",
                "along": 0.0,
                "width": 2.4,
                "name": "Sink units",
            },
            "waste": {
                "kind": "service",
                "type": "drain",
                "diameter": "43 mm",
                "hole": "64 mm",
                "path": [[3.5, 3.2, 0.2], [3.5, 3.2, -0.25]],
            },
            "old_drain": {
                "kind": "service",
                "type": "drain",
                "diameter": "110 mm",
                "disused": True,
                "open_end": "end",
                "name": "Disused drain",
                "path": [[1.0, 4.6, -0.35], [1.0, 3.2, -0.25]],
            },
            "broken_drain": {
                "kind": "entry_point",
                "name": "Broken drain under the sink units",
                "place": {"of": "old_drain"},
                "size": "100 mm",
                "beyond": "drain",
            },
            "look_units": {
                "kind": "inspection",
                "place": {"of": "units"},
                "share_seen": 0.5,
                "at": "2025-03-03T10:00:00+00:00",
                "finds": [{"kind": "droppings", "amount": "many", "freshness": "fresh"}],
            },
            "look_bath": {
                "kind": "inspection",
                "place": {"of": "bath"},
                "share_seen": 0.4,
                "at": "2025-03-03T10:20:00+00:00",
                "finds": [{"kind": "droppings", "amount": "few", "freshness": "old"}],
            },
            "look_floor": {
                "kind": "inspection",
                "method": "borescope",
                "place": {"storey": "ground", "at": [1.6, 1.8], "part": "floor"},
                "share_seen": 0.6,
                "at": "2025-03-03T10:40:00+00:00",
            },
            "noise": {
                "kind": "inspection",
                "method": "ear",
                "finished": False,
                "grade": "told",
                "place": {"storey": "ground", "at": [4.4, 3.0], "height": 0.0, "radius": 1.5},
                "at": "2025-03-02T23:00:00+00:00",
                "finds": [{"kind": "sound"}],
            },
            "look_partition": {
                "kind": "inspection",
                "method": "borescope",
                "place": {"of": "kitchen/e1", "along": 1.4, "height": 0.3},
                "share_seen": 0.7,
                "at": "2025-03-03T11:00:00+00:00",
            },
        },
    )


def semi() -> Document:
    """Return a two-storey semi-detached house, four rooms on each floor, east party wall.

    Outside walls are cavity brick, all timber floors, partitions 100 mm.
    """
    rooms: dict[str, Any] = {}
    rows = {
        "g": ("ground", ["Hall", "Front room", "Kitchen", "Dining room"]),
        "u": ("upper", ["Landing", "Front bedroom", "Bathroom", "Back bedroom"]),
    }
    corners = [(0.0, 0.0, 1.9, 4.0), (2.0, 0.0, 5.9, 4.0), (0.0, 4.1, 2.6, 7.6)]
    corners.append((2.7, 4.1, 5.9, 7.6))
    for storey, names in rows.values():
        for name, corner in zip(names, corners, strict=True):
            rooms[name.lower().replace(" ", "_")] = {
                "kind": "room", "name": name, "storey": storey, "polygon": rectangle(*corner),
            }  # fmt: skip
    return _document(
        "job_semi",
        "Semi",
        {
            "settings": {"kind": "settings", "country": "UK", "year_built": 1934},
            "suspect": {"kind": "species", "species": "norway rat"},
            "ground": {"kind": "storey", "name": "Ground floor", "level": 0, "height": 2.5},
            "upper": {"kind": "storey", "name": "Upper floor", "level": 1, "height": 2.4},
            **rooms,
            **{
                f"party_{room}": {
                    "kind": "edge",
                    "room": room,
                    "side": "e1",
                    "is": "neighbour",
                }
                for room in ("front_room", "dining_room", "front_bedroom", "back_bedroom")
            },
            **{
                f"street_{room}": {"kind": "edge", "room": room, "side": "s1", "is": "outside"}
                for room in ("hall", "front_room", "landing", "front_bedroom")
            },
            "stair": {
                "kind": "fixture",
                "type": "stair",
                "room": "hall",
                "against": "w1",
                "along": 0.8,
                "name": "Stair",
            },
            "units": {
                "kind": "fixture",
                "type": "base cabinet run",
                "room": "kitchen",
                "against": "w1",
                "along": 0.2,
                "width": 2.4,
                "name": "Sink units",
            },
            "bath": {
                "kind": "fixture",
                "type": "bath",
                "room": "bathroom",
                "against": "n1",
                "along": 0.3,
                "name": "Bath",
            },
            "wc": {
                "kind": "fixture",
                "type": "wc",
                "room": "bathroom",
                "against": "w1",
                "along": 1.0,
                "name": "WC",
            },
            "boxing": {
                "kind": "fixture",
                "type": "boxed pipe run",
                "room": "bathroom",
                "against": "n1",
                "along": 0.0,
                "name": "Boxing",
            },
            "hall_door": {
                "kind": "opening",
                "room": "hall",
                "side": "n1",
                "type": "door",
                "along": 0.9,
            },
            "front_window": {
                "kind": "opening",
                "room": "front_room",
                "side": "s1",
                "type": "window",
                "along": 1.0,
                "width": 1.8,
            },
            "soil": {
                "kind": "service",
                "type": "drain",
                "diameter": "110 mm",
                "name": "Soil pipe",
                "path": [[0.1, 7.5, 4.0], [0.1, 7.5, -0.4]],
            },
            "old_drain": {
                "kind": "service",
                "type": "drain",
                "diameter": "110 mm",
                "disused": True,
                "open_end": "end",
                "name": "Disused drain",
                "path": [[0.8, 8.6, -0.4], [0.8, 6.0, -0.3]],
            },
            "door_gap": {
                "kind": "entry_point",
                "name": "Gap under the front door",
                "size": "15 mm",
                "place": {"of": "hall/s1", "along": 0.8, "height": 0.0, "part": "room"},
            },
            "joists_ground": {
                "kind": "framing_guess",
                "question": "ground joists",
                "weight": 0.7,
                "choices": {"ground.floor.joists_run": "x"},
            },
            "joists_ground_other": {
                "kind": "framing_guess",
                "question": "ground joists",
                "weight": 0.3,
                "choices": {"ground.floor.joists_run": "y"},
            },
            "look_units": {
                "kind": "inspection",
                "place": {"of": "units"},
                "share_seen": 0.5,
                "at": "2025-03-03T10:00:00+00:00",
                "finds": [{"kind": "droppings", "amount": "many", "freshness": "fresh"}],
            },
            "nothing_bath": {
                "kind": "inspection",
                "place": {"of": "bath"},
                "share_seen": 0.4,
                "at": "2025-03-03T10:20:00+00:00",
            },
            "unplaced": {
                "kind": "inspection",
                "finished": False,
                "grade": "told",
                "at": "2025-03-02T23:00:00+00:00",
                "finds": [{"kind": "droppings"}],
            },
        },
    )


def ranch() -> Document:
    """Return two rooms framed in inches over a crawl space; lengths as a tape reads them."""
    return _document(
        "job_ranch",
        "Ranch",
        {
            "settings": {"kind": "settings", "country": "US", "year_built": 1962},
            "suspect": {"kind": "species", "species": "house mouse"},
            "main": {
                "kind": "storey", "name": "Main floor", "level": 0, "height": "97-1/8 in",
                "floor": {
                    "build": "joists", "below": "crawl space", "joists_run": "y",
                    "joist_spacing": "16 in", "joist_depth": "7-1/4 in", "crawl_height": "24 in",
                },
                "ceiling": "loft",
            },
            "den": {
                "kind": "room", "name": "Den", "storey": "main",
                "polygon": [[0, 0], ["12 ft", 0], ["12 ft", "10 ft"], [0, "10 ft"]],
            },
            "bath_room": {
                "kind": "room", "name": "Bath", "storey": "main",
                "polygon": [
                    ["12 ft 4-1/2 in", 0], ["20 ft 4-1/2 in", 0],
                    ["20 ft 4-1/2 in", "10 ft"], ["12 ft 4-1/2 in", "10 ft"],
                ],
            },
            "partition": {
                "kind": "wall", "room": "bath_room", "side": "w1", "build": "stud",
                "stud_spacing": "16 in", "stud_depth": "3-1/2 in", "bearing": "yes",
            },
            "tub": {
                "kind": "fixture", "type": "bath", "room": "bath_room", "against": "w1",
                "along": 0,
            },
            "supply": {
                "kind": "service", "type": "supply", "diameter": "5/8 in", "hole": "1 in",
                "path": [["12 ft 2 in", "3 ft", -0.5], ["12 ft 2 in", "3 ft", 0.6]],
            },
            "vent": {
                "kind": "entry_point", "name": "Crawl space vent with torn mesh",
                "place": {"storey": "main", "at": ["6 ft", 0.05], "height": "-1 ft 6 in"},
                "size": "2 in", "material": "metal",
            },
            "heard": {
                "kind": "inspection", "method": "ear", "finished": False, "grade": "told",
                "place": {"of": "den", "part": "ceiling"}, "finds": [{"kind": "sound"}],
            },
            "looked_tub": {
                "kind": "inspection", "place": {"of": "tub"}, "share_seen": 0.3,
                "at": "2025-05-01T09:00:00-05:00",
            },
        },
        units="ft-in",
    )  # fmt: skip

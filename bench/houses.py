"""Regular houses of any size, as job files, to measure on.

A grid of rooms of 3.6 m x 3.2 m with stud walls between them, timber floors, one entry point at
the south-west corner, a door in every wall that faces east, a bath in some rooms, and an inspection
in every seventh room.  Nothing here is meant to look like a real house.
"""

from __future__ import annotations

import json
from typing import Any

from wainscot.job import Job

WIDTH, DEPTH, WALL = 3.6, 3.2, 0.1


def grid_house(storeys: int, across: int, deep: int) -> Job:
    """Return a house of ``storeys`` x ``across`` x ``deep`` rooms.

    Parameters
    ----------
    storeys, across, deep : int
        Numbers of storeys, of rooms from west to east, of rooms from south to north.
    """
    entities: dict[str, Any] = {"species": {"kind": "species", "species": "norway rat"}}
    for level in range(storeys):
        entities[f"level_{level}"] = {
            "kind": "storey",
            "name": f"Level {level}",
            "level": level,
            "height": 2.4,
            "floor": {
                "build": "joists",
                "below": "crawl space" if level == 0 else "storey",
                "joists_run": "x",
                "joist_spacing": 0.4,
            },
        }
        for column in range(across):
            for row in range(deep):
                entities.update(_room(level, column, row, across, deep))
    entities["gap"] = {
        "kind": "entry_point",
        "name": "gap by the pipe",
        "place": {"storey": "level_0", "at": [0.0, 0.3], "height": -0.1},
        "size": "30 mm",
    }
    return Job(id=f"grid_{storeys}_{across}_{deep}", title="Grid", units="m", entities=entities)


def _room(level: int, column: int, row: int, across: int, deep: int) -> dict[str, Any]:
    x, y = column * (WIDTH + WALL), row * (DEPTH + WALL)
    key = f"room_{level}_{column:02d}_{row:02d}"
    corners = [[x, y], [x + WIDTH, y], [x + WIDTH, y + DEPTH], [x, y + DEPTH]]
    out: dict[str, Any] = {
        key: {
            "kind": "room",
            "storey": f"level_{level}",
            "name": f"Room {level}-{column}-{row}",
            "polygon": corners,
        }
    }
    sides = {"w1": column == 0, "e1": column == across - 1, "s1": row == 0, "n1": row == deep - 1}
    for side, at_edge in sides.items():
        if at_edge:
            out[f"{key}_{side}"] = {
                "kind": "edge", "room": key, "side": side, "is": "outside",
            }  # fmt: skip
    if column < across - 1:
        out[f"{key}_door"] = {
            "kind": "opening", "room": key, "side": "e1", "type": "door", "along": 1.0,
            "width": 0.8,
        }  # fmt: skip
    number = (level * across + column) * deep + row
    if number % 5 == 2:
        out[f"{key}_bath"] = {"kind": "fixture", "type": "bath", "room": key, "against": "n1"}
    if number % 7 == 0:
        find = {"kind": "droppings", "amount": "many", "freshness": "fresh"}
        out[f"{key}_look"] = {
            "kind": "inspection",
            "place": {"storey": f"level_{level}", "at": [x + 1.5, y + 1.0], "part": "floor"},
            "method": "eye and lamp",
            "share_seen": 0.5,
            "at": "2026-05-12T10:00:00+01:00",
            "by": "crew",
            "finds": [find] if number % 14 == 0 else [],
        }
    return out


if __name__ == "__main__":
    print(json.dumps(grid_house(2, 2, 2).entities, indent=1))

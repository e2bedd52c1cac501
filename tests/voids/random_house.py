"""Random houses for properties: a grid of rooms with some left out, on one or two storeys.

``houses`` are square; in ``slanted_houses`` every wall that runs north leans by its own slope.
"""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

Document = dict[str, Any]


@st.composite
def houses(draw: st.DrawFn) -> Document:
    """Draw a job file of a house without faults."""
    across, deep = draw(st.integers(1, 3)), draw(st.integers(1, 2))
    widths = draw(st.lists(st.integers(18, 45), min_size=across, max_size=across))
    depths = draw(st.lists(st.integers(18, 45), min_size=deep, max_size=deep))
    wall = draw(st.sampled_from([0.1, 0.12, 0.25]))
    levels = draw(st.integers(1, 2))
    entities: dict[str, Any] = {
        "settings": {"kind": "settings", "country": draw(st.sampled_from(["UK", "US"]))},
    }
    for level in range(levels):
        entities[f"level{level}"] = {
            "kind": "storey", "name": f"Level {level}", "level": level, "height": 2.4,
            "floor": {"joists_run": run} if (run := draw(st.sampled_from(["x", "y", ""]))) else {},
        }  # fmt: skip
        for column in range(across):
            for row in range(deep):
                if (column or row) and draw(st.integers(0, 4)) == 0:
                    continue
                west = sum(widths[:column]) / 10 + column * wall
                south = sum(depths[:row]) / 10 + row * wall
                east, north = west + widths[column] / 10, south + depths[row] / 10
                key = f"r{level}{column}{row}"
                ring = [[west, south], [east, south], [east, north], [west, north]]
                if draw(st.booleans()):
                    # An L-shaped room: the north-east corner cut off.
                    cut = [[east, north - 0.8], [east - 0.9, north - 0.8], [east - 0.9, north]]
                    ring = [[west, south], [east, south], *cut, [west, north]]
                entities[key] = {
                    "kind": "room", "name": key.upper(), "storey": f"level{level}",
                    "polygon": ring,
                }  # fmt: skip
                if draw(st.booleans()):
                    entities[f"{key}_window"] = {
                        "kind": "opening", "room": key, "side": "s1", "type": "window",
                        "along": draw(st.integers(1, 6)) / 10, "width": 1.0,
                    }  # fmt: skip
                if draw(st.integers(0, 3)) == 0:
                    entities[f"{key}_edge"] = {
                        "kind": "edge", "room": key, "side": "s1",
                        "is": draw(st.sampled_from(["outside", "neighbour"])),
                    }  # fmt: skip
    return {"wainscot": 1, "id": "job_random", "units": "m", "entities": entities}


@st.composite
def slanted_houses(draw: st.DrawFn) -> Document:
    """Draw a job file of a house whose walls between columns of rooms lean."""
    across, deep = draw(st.integers(1, 3)), draw(st.integers(1, 2))
    wall = draw(st.sampled_from([0.1, 0.25]))
    lines, rows = [0.0], [0.0]
    for _ in range(across):
        lines.append(lines[-1] + draw(st.integers(35, 45)) / 10 + wall)
    for _ in range(deep):
        rows.append(rows[-1] + draw(st.integers(20, 35)) / 10 + wall)
    slopes = [draw(st.integers(-2, 2)) / 10 for _ in lines]
    country = draw(st.sampled_from(["UK", "US"]))
    entities: dict[str, Any] = {"settings": {"kind": "settings", "country": country}}
    for level in range(draw(st.integers(1, 2))):
        run = draw(st.sampled_from(["x", "y", "short", "long", 30]))
        entities[f"level{level}"] = {
            "kind": "storey", "name": f"Level {level}", "level": level, "height": 2.4,
            "floor": {"joists_run": run},
        }  # fmt: skip
        for column in range(across):
            for row in range(deep):
                if (column or row) and draw(st.integers(0, 5)) == 0:
                    continue
                key, south, north = f"r{level}{column}{row}", rows[row], rows[row + 1] - wall
                ring = [
                    [lines[column] + slopes[column] * (south - 4), south],
                    [lines[column + 1] - wall + slopes[column + 1] * (south - 4), south],
                    [lines[column + 1] - wall + slopes[column + 1] * (north - 4), north],
                    [lines[column] + slopes[column] * (north - 4), north],
                ]
                entities[key] = {
                    "kind": "room", "name": key.upper(), "storey": f"level{level}",
                    "polygon": [[round(x, 3), y] for x, y in ring],
                }  # fmt: skip
                if draw(st.booleans()):
                    entities[f"{key}_gap"] = {
                        "kind": "opening", "room": key, "along": 0.3, "width": 0.8,
                        "side": draw(st.sampled_from(["e1", "s1"])),
                        "type": draw(st.sampled_from(["door", "window"])),
                    }  # fmt: skip
                if draw(st.booleans()):
                    entities[f"{key}_run"] = {
                        "kind": "fixture", "type": "base cabinet run", "room": key, "along": 0.6,
                        "against": draw(st.sampled_from(["e1", "w1"])), "width": 0.8, "depth": 0.4,
                    }  # fmt: skip
    return {"wainscot": 1, "id": "job_slanted", "units": "m", "entities": entities}

"""Random houses for properties: a grid of rooms with some left out, on one or two storeys."""

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

"""Bays of light framing against figures as printed or as they follow from dressed sizes.

Source of the sizes: American Softwood Lumber Standard PS 20 (2x4 is 1-1/2 x 3-1/2 in, 2x6 5-1/2,
2x8 7-1/4, 2x10 9-1/4, 2x12 11-1/4 in); the 92-5/8 in stud is from memory.  The clear widths and
volumes are arithmetic on those, rounded as shown; the tolerance is half of the last digit.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from houses import as_job, ranch
from wainscot import plan, voids
from wainscot.voids import Graph

INCH = 0.0254
CUBIC_FOOT = (12 * INCH) ** 3


def graph(changes: dict[str, dict[str, Any]]) -> Graph:
    """Return the two-room house with some entities changed, framed for rats."""
    document = ranch()
    for key, fields in changes.items():
        document["entities"].setdefault(key, {}).update(fields)
    return voids.build(plan.read(as_job(document)), "norway rat")


def wall(spacing: str, depth: str) -> Graph:
    """Return the house with its partition framed so; 92-5/8 in studs, three plates."""
    gap = f"{float(depth.split()[0]) + 1} in"
    room = ["20 ft 4-1/2 in", "10 ft"]
    west = f"{144 + float(gap.split()[0])} in"
    return graph(
        {
            "partition": {"stud_spacing": spacing, "stud_depth": depth},
            "bath_room": {"polygon": [[west, 0], [room[0], 0], room, [west, room[1]]]},
            "supply": {"path": [["12 ft 2 in", "3 ft", 0.1], ["12 ft 2 in", "3 ft", 0.6]]},
        }
    )


def bay(found: Graph, key: str) -> tuple[float, float]:
    """Return the clear width along the wall [m] and the volume [m3] of a bay."""
    v = found.keys.index(key)
    size = np.ptp(found.polygon[v], axis=0)
    return float(size.max()), float(found.volume[v])


@pytest.mark.parametrize(
    ("spacing", "depth", "clear", "volume"),
    [
        ("16 in", "3.5 in", 14.5, 2.72),
        ("16 in", "5.5 in", 14.5, 4.27),
        ("24 in", "3.5 in", 22.5, 4.22),
        ("24 in", "5.5 in", 22.5, 6.63),
    ],
)
def test_a_stud_bay_has_the_clear_width_and_volume_of_its_framing(
    spacing: str, depth: str, clear: float, volume: float
) -> None:
    wide, cubic = bay(wall(spacing, depth), "bath_room/w1/bay/1")
    assert wide / INCH == pytest.approx(clear, abs=0.005)
    assert cubic / CUBIC_FOOT == pytest.approx(volume, abs=0.005)


@pytest.mark.parametrize(
    ("depth", "per_foot"), [("7-1/4 in", 0.73), ("9-1/4 in", 0.93), ("11-1/4 in", 1.13)]
)
def test_a_joist_bay_holds_its_volume_per_foot(depth: str, per_foot: float) -> None:
    floor = {"build": "joists", "below": "crawl space", "joists_run": "y",
             "joist_spacing": "16 in", "joist_depth": depth, "crawl_height": "24 in"}  # fmt: skip
    found = graph({"main": {"floor": floor}})
    v = found.keys.index("main/den/joist-bay/3")
    size = np.ptp(found.polygon[v], axis=0)
    feet = float(size[1]) / (12 * INCH)
    assert float(size[0]) / INCH == pytest.approx(14.5, abs=0.005)
    assert float(found.volume[v]) / CUBIC_FOOT / feet == pytest.approx(per_foot, abs=0.005)


def test_plates_end_a_bay_an_inch_and_a_half_and_three_inches_in() -> None:
    # Sole plate single, bearing top plate double: IRC R602.3.2 (from memory).
    found = wall("16 in", "3.5 in")
    v = found.keys.index("bath_room/w1/bay/1")
    assert found.bottom[v] / INCH == pytest.approx(1.5, abs=1e-6)
    assert (found.top[v] - found.bottom[v]) / INCH == pytest.approx(92.625, abs=1e-6)

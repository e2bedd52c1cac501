"""Amounts of material against plain geometry and the rows of a supplier's page."""

from __future__ import annotations

from math import pi

import pytest
import shapely

from houses import as_job, semi
from wainscot import voids
from wainscot.sealing import Way, ways_in
from wainscot.sealing.materials import (
    OVERLAP,
    UNMEASURED,
    Amounts,
    amounts,
    annulus_area,
    filling,
    foam_cans,
    mesh_piece,
    sealant_length,
)


@pytest.mark.parametrize("rests", [0.0, 0.005, 0.0175])
def test_the_gap_round_a_pipe_is_the_same_wherever_it_rests(rests: float) -> None:
    # By polygons of many corners, the pipe moved off the middle.
    hole = shapely.Point(0, 0).buffer(0.0725, quad_segs=512)
    pipe = shapely.Point(rests, 0).buffer(0.055, quad_segs=512)
    area = annulus_area(0.145, 0.110)
    assert hole.difference(pipe).area == pytest.approx(area, rel=1e-4)
    assert sealant_length(0.145, 0.110) == pytest.approx(hole.length + pipe.length, rel=1e-4)


def test_a_can_of_foam_goes_as_far_as_the_page_claims_less_what_is_lost() -> None:
    # Supplier claim: 1,200 ft of 1/2 in bead a can = 46 L; planned at 60 %.
    bead = pi / 4 * 0.0127**2 * 1200 * 0.3048
    assert bead == pytest.approx(0.046, abs=0.0005)
    assert foam_cans(bead) == pytest.approx(1 / 0.6, rel=0.01)
    assert foam_cans(filling(0.01, 0.1)) == pytest.approx(0.001 / (0.046 * 0.6))


def test_mesh_laps_over_on_every_side() -> None:
    lap = OVERLAP.value
    assert mesh_piece(0.2, 0.1) == pytest.approx((0.2 + 2 * lap) * (0.1 + 2 * lap))


def test_a_pipe_wider_than_its_hole_is_refused() -> None:
    with pytest.raises(ValueError, match="does not lie in"):
        annulus_area(0.1, 0.11)


def _hole(size: float, edge: str = "masonry") -> Way:
    return Way("e", "a hole", "entry point", (1, 0), "outside", ("as built",), 1.0,
               size=(size, size), edge_material=edge)  # fmt: skip


def test_a_hole_of_known_size_takes_one_amount_and_an_unknown_one_a_range() -> None:
    faces, area, volume, joint = amounts(_hole(0.1), "mortar")
    assert joint == (0.0, 0.0)
    # A round hole of 100 mm, filled 50 mm deep, backed with mesh because it is wide.
    assert volume == pytest.approx((pi / 4 * 0.1**2 * 0.05,) * 2)
    assert area == pytest.approx((mesh_piece(0.1, 0.1),) * 2)
    assert faces == 1
    low, high = (one.value for one in UNMEASURED)
    for material, edge in (("mortar", "masonry"), ("sheet metal", "wood")):
        ends = [amounts(_hole(size, edge), material) for size in (low, high)]
        faces, area, volume, _ = amounts(_hole(0.0, edge), material)
        assert faces == ends[0][0]
        assert area == (ends[0][1][0], ends[1][1][0])
        assert volume == (ends[0][2][0], ends[1][2][0])
        assert area[0] < area[1] or volume[0] < volume[1]


def test_both_faces_where_metal_on_one_is_gone_round_and_a_drain_has_one() -> None:
    # Handbook chapter on rodent-proof construction, from memory: teeth start at an edge.
    assert amounts(_hole(0.02, "wood"), "sheet metal")[0] == 2
    assert amounts(_hole(0.02, "wood"), "door strip")[0] == 2
    assert amounts(_hole(0.02, "masonry"), "sheet metal")[0] == 1
    assert amounts(_hole(0.02, "unknown"), "drain cap") == Amounts(1)


def test_a_collar_covers_the_hole_round_the_pipe_that_is_drawn() -> None:
    plan = voids.framed(as_job(semi())).plan
    ways = ways_in(plan, voids.build(plan, "house mouse"), offered=())
    piped = [one for one in ways if one.pipe]
    assert piped
    for one in piped:
        run = next(run for run in plan.services if run.name.lower() in one.words.lower())
        assert (one.pipe, one.bored) == (run.diameter, run.hole)
        takes = amounts(one, "metal collar")
        # The hole lies in a ring that laps over it on every side, less the pipe.
        ring = shapely.Point(0, 0).buffer(run.hole[1] / 2 + OVERLAP.value, quad_segs=256)
        pipe = shapely.Point(0, 0).buffer(run.diameter / 2, quad_segs=256)
        assert takes.area[1] == pytest.approx(ring.difference(pipe).area, rel=1e-4)
        assert takes.joint[1] == pytest.approx(ring.length + pipe.length, rel=1e-4)
        assert takes.area[0] <= takes.area[1]
        # The least of a range by the same drawing, from the least of the hole.
        least = shapely.Point(0, 0).buffer(run.hole[0] / 2 + OVERLAP.value, quad_segs=256)
        assert takes.area[0] == pytest.approx(least.difference(pipe).area, rel=1e-4)
        assert takes.joint[0] == pytest.approx(least.length + pipe.length, rel=1e-4)

"""Amounts of material against plain geometry and the rows of a supplier's page."""

from __future__ import annotations

from math import pi

import pytest
import shapely

from wainscot.sealing.materials import (
    OVERLAP,
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

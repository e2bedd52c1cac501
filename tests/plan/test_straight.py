"""Outlines typed to the millimetre: nearly parallel is parallel, a slant stays a slant."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wainscot.plan.frame import split, to_frame, to_world
from wainscot.plan.sides import anticlockwise, sides
from wainscot.plan.straight import straightened


def turned(ring: list[tuple[float, float]], degrees: float) -> list[tuple[float, float]]:
    return [to_world(corner, math.radians(degrees)) for corner in ring]


ROOM = [(0.0, 0.0), (4.2, 0.0), (4.2, 2.1), (2.9, 2.1), (2.9, 3.3), (0.0, 3.3)]


@given(st.floats(-44.0, 44.0))
def test_a_room_typed_to_the_millimetre_has_square_corners_again(degrees: float) -> None:
    typed = [(round(x, 3), round(y, 3)) for x, y in turned(ROOM, degrees)]
    ring = straightened({"room": typed})["room"]
    turns = {side.turn for side in sides("room", anticlockwise(ring))}
    assert len(turns) == 1
    for corner, moved in zip(typed, ring, strict=True):
        assert math.dist(corner, moved) < 0.003


def test_square_rooms_keep_every_bit() -> None:
    assert straightened({"room": ROOM})["room"] == tuple(ROOM)


def test_a_slant_of_a_centimetre_in_a_metre_stays() -> None:
    ring = [(0.0, 0.0), (3.0, 0.03), (3.0, 2.0), (0.0, 2.0)]
    assert straightened({"room": ring})["room"] == tuple(ring)


def test_a_wall_of_one_room_leads_those_of_the_next() -> None:
    a = turned([(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (0.0, 3.0)], 20.0)
    b = turned([(0.0, 3.1), (6.0, 3.102), (6.0, 5.0), (0.0, 5.0)], 20.0)
    rings = straightened({"a": a, "b": b})
    found = [side for key, ring in rings.items() for side in sides(key, anticlockwise(ring))]
    assert {side.turn for side in found} == {round(math.radians(20.0), 9)}


@pytest.mark.parametrize("degrees", [0, 10, 44, 46, 100, 179, -30, -91])
def test_a_direction_is_a_turn_and_a_number_of_quarters(degrees: float) -> None:
    turn, quarter = split(math.radians(degrees))
    assert abs(turn) <= math.pi / 4 + 0.002
    assert math.cos(turn + quarter * math.pi / 2) == pytest.approx(math.cos(math.radians(degrees)))
    assert math.sin(turn + quarter * math.pi / 2) == pytest.approx(math.sin(math.radians(degrees)))


@given(st.floats(-5, 5), st.floats(-5, 5), st.floats(-0.7, 0.7))
def test_there_and_back_again(x: float, y: float, turn: float) -> None:
    assert to_frame(to_world((x, y), turn), turn) == pytest.approx((x, y), abs=1e-9)


def test_sides_that_face_between_two_quarters_take_the_first_clockwise() -> None:
    ring = anticlockwise([(0, 0), (2, -2), (4, 0), (2, 2)])
    assert [(side.name, side.facing) for side in sides("room", ring)] == [
        ("n1", "north-east"), ("e1", "south-east"), ("s1", "south-west"), ("w1", "north-west"),
    ]  # fmt: skip
    for side in sides("room", ring):
        assert side.length == pytest.approx(2 * math.sqrt(2))
        x, y = side.point(side.length / 2, 1.0)
        # A metre out from the middle of the side, away from the middle of the room.
        assert math.dist((x, y), (2, 0)) == pytest.approx(1 + math.sqrt(2))

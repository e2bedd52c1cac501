"""Walls follow from rooms: sides, owners, what lies beyond, what they are made of."""

from __future__ import annotations

from typing import Any

import pytest

from houses import as_job, bungalow, ranch, rectangle, semi
from wainscot import plan
from wainscot.plan import Plan
from wainscot.plan.sides import anticlockwise, sides


def read(document: dict[str, Any]) -> Plan:
    return plan.read(as_job(document))


def rooms(**polygons: Any) -> dict[str, Any]:
    """Return a one-storey job of these rooms."""
    entities: dict[str, Any] = {"low": {"kind": "storey", "name": "Low", "height": 2.4}}
    for key, polygon in polygons.items():
        entities[key] = {"kind": "room", "name": key, "storey": "low", "polygon": polygon}
    return {"wainscot": 1, "id": "job_rooms", "entities": entities}


def test_sides_are_named_by_the_way_they_face_and_counted_from_west_and_south() -> None:
    # An L: the north-east corner cut out, so two stretches face north and two face east.
    outline = anticlockwise([(0, 0), (4, 0), (4, 2), (2.5, 2), (2.5, 3), (0, 3)])
    found = {side.name: (side.level_line, side.low, side.high) for side in sides("r", outline)}
    assert found == {
        "n1": (3, 0, 2.5), "n2": (2, 2.5, 4),
        "e1": (4, 0, 2), "e2": (2.5, 2, 3),
        "s1": (0, 0, 4), "w1": (0, 0, 3),
    }  # fmt: skip


def test_a_clockwise_outline_gives_the_same_sides() -> None:
    ring = [(0, 0), (4, 0), (4, 2), (2.5, 2), (2.5, 3), (0, 3)]
    assert sides("r", anticlockwise(ring)) == sides("r", anticlockwise(ring[::-1]))


@pytest.mark.parametrize("n", range(5))
def test_a_corner_written_twice_is_one_corner(n: int) -> None:
    ring = [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]
    assert anticlockwise([*ring[:n], ring[n % 4], *ring[n:]]) == tuple(ring)


@pytest.mark.parametrize(
    ("name", "corner", "along_one"),
    [("n1", 0.0, 1.0), ("e1", 3.0, 2.0), ("s1", 4.0, 3.0), ("w1", 0.0, 1.0)],
)
def test_along_counts_from_the_left_corner_seen_from_inside(
    name: str, corner: float, along_one: float
) -> None:
    found = {one.name: one for one in sides("r", anticlockwise(rectangle(0, 0, 4, 3)))}
    assert found[name].left == corner
    assert found[name].coordinate(1.0) == along_one


def test_the_wall_between_two_rooms_is_one_wall_of_the_side_that_sorts_first() -> None:
    walls = {wall.id: wall for wall in read(bungalow()).walls}
    between = walls["bathroom/w1"]
    assert (between.facing, between.facing_side) == ("kitchen", "e1")
    assert "kitchen/e1" not in walls
    assert between.thickness == pytest.approx(0.1)
    assert between.build == "stud"
    assert between.spacing == pytest.approx(0.4)


def test_what_no_room_faces_is_not_drawn_yet_unless_somebody_said() -> None:
    walls = {wall.id: wall for wall in read(bungalow()).walls}
    assert walls["kitchen/s1"].beyond == "not drawn yet"
    assert walls["kitchen/n1"].beyond == "outside"
    assert walls["bathroom/e1"].beyond == "neighbour"


def test_a_side_that_meets_two_rooms_holds_a_stretch_for_each() -> None:
    document = rooms(
        a=rectangle(0, 0, 4, 3), b=rectangle(0, 3.1, 1.9, 6), c=rectangle(2.0, 3.1, 4, 6)
    )
    found = [(wall.id, wall.facing, wall.low, wall.high) for wall in read(document).walls
             if wall.facing]  # fmt: skip
    assert found == [
        ("a/n1", "b", 0, 1.9), ("a/n1", "c", 2.0, 4), ("b/e1", "c", 3.1, 6),
    ]  # fmt: skip


def test_a_door_told_from_either_room_lands_in_the_one_wall() -> None:
    one, other = bungalow(), bungalow()
    # kitchen/e1 counts from the north (y = 3.6), bathroom/w1 from the south.
    other["entities"]["door"] |= {"room": "bathroom", "side": "w1", "along": 3.6 - 2.6 - 0.76}
    for document in (one, other):
        wall = next(wall for wall in read(document).walls if wall.id == "bathroom/w1")
        assert [(round(o.low, 6), round(o.high, 6)) for o in wall.openings] == [(0.24, 1.0)]


def test_the_first_stud_may_be_told_from_either_face() -> None:
    document = bungalow()
    document["entities"]["partition"]["first_stud"] = 0.25
    wall = next(wall for wall in read(document).walls if wall.id == "bathroom/w1")
    assert wall.side.coordinate(wall.first_stud) == pytest.approx(3.6 - 0.25)


def test_outside_walls_are_cavity_brick_in_a_uk_house_of_1934_and_studs_in_the_us() -> None:
    # Common practice, no source.
    uk = {wall.id: wall.build for wall in read(semi()).walls}
    assert uk["front_room/s1"] == "cavity"
    assert uk["front_room/e1"] == "solid"
    assert {wall.build for wall in read(ranch()).walls} == {"stud"}


def test_an_outside_wall_of_an_old_us_house_is_balloon_framed() -> None:
    # Default for US houses before about 1930 to 1940: dates from memory.
    document = ranch()
    document["entities"]["edge"] = {
        "kind": "edge", "room": "den", "side": "w1", "is": "outside",
    }  # fmt: skip
    for year, framing in ((1915, "balloon"), (1962, "platform")):
        document["entities"]["settings"]["year_built"] = year
        walls = {wall.id: wall for wall in read(document).walls}
        assert walls["den/w1"].framing == framing
        assert walls["bath_room/w1"].framing == "platform"


def test_walls_give_way_to_each_other_at_an_inner_corner() -> None:
    ring = [[0, 0], [4, 0], [4, 2], [2.5, 2], [2.5, 3], [0, 3]]
    walls = {wall.id: wall for wall in read(rooms(r=ring)).walls}
    east, north = walls["r/e2"], walls["r/n2"]
    assert east.low == pytest.approx(2.0)
    assert north.low == pytest.approx(2.5 + east.thickness)


def test_storeys_stack_from_level_nought_by_height_ceiling_and_floor() -> None:
    document = semi()
    floor = {"joist_depth": "200 mm"}
    document["entities"]["upper"]["floor"] = floor
    found = read(document)
    low, high = found.storeys
    assert low.elevation == 0.0
    assert high.elevation == pytest.approx(
        low.height + low.ceiling_board + high.floor.depth + high.floor.board
    )


def test_a_basement_lies_below_level_nought() -> None:
    document = rooms(a=rectangle(0, 0, 4, 3))
    document["entities"]["cellar"] = {
        "kind": "storey", "name": "Cellar", "level": -1, "height": 2.0,
    }  # fmt: skip
    found = read(document)
    cellar, ground = found.storeys
    assert ground.floor.below == "storey"
    assert cellar.elevation == pytest.approx(
        -(ground.floor.board + ground.floor.depth + cellar.ceiling_board + 2.0)
    )
    assert cellar.floor.build == "slab"


def test_every_default_is_listed_once_with_where_it_stands_in() -> None:
    found = read(semi()).assumptions
    words = [one.words for one in found]
    assert len(set(words)) == len(words)
    spacing = [one for one in found if "stud spacing" in one.words]
    assert len(spacing) == 1
    assert "and 14 more" in spacing[0].words
    assert spacing[0].value == "400 mm"
    assert any(one.path == "entities.upper.loft_height" for one in found)


def test_a_measured_fact_is_no_assumption_and_a_default_one_is() -> None:
    document = bungalow()
    ground = document["entities"]["ground"]
    ground["floor"]["joist_depth"] = {"value": "4 in", "basis": "measured", "source": "tape"}
    assert not any("joist depth" in one.words for one in read(document).assumptions)
    ground["floor"]["joist_depth"] = {"value": "4 in", "basis": "default"}
    assert any("joist depth" in one.words for one in read(document).assumptions)

"""What a work area takes, and what must be settled before a fan runs."""

from __future__ import annotations

import pytest

from houses import as_job, ranch, semi
from wainscot import plan
from wainscot.containment import Said, WorkArea, contain, next_door, through_airlock, work_area
from wainscot.errors import InputError

WORK = WorkArea(("Kitchen",), floor=12.0, perimeter=14.0, height=2.4, free=3.0)


def test_no_fan_runs_until_somebody_has_spoken_of_what_burns() -> None:
    first = contain(WORK).holds[0]
    assert (first.key, first.standing) == ("combustion/house", "find out")
    assert "carbon monoxide alarm" in first.first
    present = contain(WORK, said=Said(burners="present")).holds[0]
    assert present.standing == "stop"


def test_a_released_hold_point_leaves_the_rest_and_care_stays() -> None:
    kept = contain(WORK, released=frozenset({"combustion/house", "outlet/house"})).holds
    assert [one.key for one in kept] == ["garage/house", "air_handler/house", "outlet/house"]


def test_a_house_with_none_of_it_leaves_only_the_outlet() -> None:
    said = Said(burners="none", garage="none", air_handler="none")
    assert [one.standing for one in contain(WORK, said=said).holds] == ["care"]


def test_sheets_cover_walls_and_ceiling_and_two_layers_the_floor() -> None:
    sheets = contain(WORK).sheets
    assert sheets.sheet == pytest.approx((14.0 * 2.4 + 12.0) * 1.15)
    assert sheets.floor == pytest.approx(12.0 * 2 * 1.15)
    assert (sheets.posts, sheets.zip_doors) == (3, 1)


def test_what_nobody_measured_is_listed_as_assumed() -> None:
    from wainscot.air import orifice

    assumed = [one.source for one in contain(WORK).assumed]
    assert any("leakage area along the edges" in one for one in assumed)
    measured = contain(WORK, leak=orifice(0.01))
    assert measured.leakage_measured
    assert not any("edges" in one.source for one in measured.assumed)


def test_rooms_of_a_plan_become_one_work_area_and_a_misspelt_one_is_told() -> None:
    drawn = plan.read(as_job(ranch()))
    name = drawn.rooms[0].name
    area = work_area(drawn, [name])
    assert area.names == (name,)
    assert area.volume > 0
    with pytest.raises(InputError, match="no drawn room"):
        work_area(drawn, ["Nowhere"])


def test_a_room_named_twice_counts_once_and_two_storeys_are_not_one_work_area() -> None:
    drawn = plan.read(as_job(semi()))
    low = [room for room in drawn.rooms if drawn.storey(room.storey).level == 0]
    high = [room for room in drawn.rooms if drawn.storey(room.storey).level == 1]
    once = work_area(drawn, [low[0].name])
    assert work_area(drawn, [low[0].name, low[0].id]) == once
    with pytest.raises(InputError, match="more than one storey"):
        work_area(drawn, [low[0].name, high[0].name])


def test_an_airlock_lets_less_through_to_the_house() -> None:
    case = {"work": 20, "house": 250, "exhaust": 150, "leak_out": 3, "house_air": 0,
            "source": 1000, "hours": 8}  # fmt: skip
    without, with_lock = next_door(**case), through_airlock(airlock=5, **case)
    assert with_lock.share < without.share / 20
    # By hand: each step passes 3 of 153.
    assert with_lock.steady[1] / with_lock.steady[0] == pytest.approx(3 / 153)

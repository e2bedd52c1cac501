"""What a work area sends through the house: laws of the network, and where the draught fails."""

from __future__ import annotations

import msgspec
import pytest

from wainscot import demos
from wainscot.air import effective_area
from wainscot.containment.house import Spread, spread
from wainscot.errors import InputError
from wainscot.job import read
from wainscot.walk import Survey, survey

SHEETS = effective_area(0.014)


@pytest.fixture(scope="module")
def house() -> Survey:
    return survey(read(demos.text()))


def sent(house: Survey, room: str = "kitchen", flow: float = 0.06, **more: float) -> Spread:
    return spread(house.plan, house.graph, [room], SHEETS, flow=flow, pressure=5.0, **more)


def by_room(found: Spread) -> dict[str, float]:
    return {one.room: one.share for one in found.rooms}


def test_every_other_drawn_room_is_told_and_the_one_beyond_the_door_gets_most(
    house: Survey,
) -> None:
    found = sent(house)
    assert set(by_room(found)) == {room.name for room in house.plan.rooms} - {"Kitchen"}
    assert found.rooms[0].room in {"Hall", "Utility", "Front room"}
    assert all(0 <= one.share < 1 and 0 <= one.without_fan < 1 for one in found.rooms)


def test_a_stronger_fan_never_raises_the_dose_of_the_worst_room(house: Survey) -> None:
    worst = [sent(house, flow=flow).rooms[0].share for flow in (0.02, 0.04, 0.08, 0.16)]
    assert worst == sorted(worst, reverse=True)
    assert sent(house).rooms[0].share < sent(house).rooms[0].without_fan


def test_warm_air_carries_it_upstairs_on_a_cold_night(house: Survey) -> None:
    mild, cold = sent(house, flow=0.01), sent(house, flow=0.01, outside=253.15)
    upstairs = ("Landing", "Bathroom", "Front bedroom")
    assert sum(by_room(cold)[name] for name in upstairs) > 2 * sum(
        by_room(mild)[name] for name in upstairs
    )


def test_a_fan_that_is_too_weak_is_beaten_by_stack_effect_and_that_is_said(house: Survey) -> None:
    found = sent(house, flow=0.002, outside=253.15, tightness=30.0)
    assert found.outward
    assert "stack effect beats the exhaust" in found.warnings[0]
    strong = sent(house, flow=0.3, outside=253.15)
    assert strong.outward == ()
    assert strong.weakest > 5.0


def test_a_strong_fan_in_a_tight_house_warns_of_open_flues(house: Survey) -> None:
    found = sent(house, flow=0.3, tightness=3.0)
    assert found.house_drop > 2
    assert any("open flue may spill" in one for one in found.warnings)
    assert not any("flue" in one for one in sent(house, flow=0.05, tightness=20.0).warnings)


def test_a_void_that_lies_open_into_the_work_area_sends_air_the_way_it_leads(
    house: Survey,
) -> None:
    v = next(i for i, kind in enumerate(house.graph.kinds) if kind == "crawl space")
    shut, lies_open = (
        spread(house.plan, house.graph, ["kitchen"], SHEETS, flow=0.06, pressure=5.0,
               opened=opened) for opened in ((), (v,))
    )  # fmt: skip
    # The vented crawl space feeds the fan instead of the sheets, so that the pull is weaker.
    assert lies_open.weakest < shut.weakest
    assert any("is wanted" in one or "are wanted" in one for one in lies_open.warnings)


def test_two_rooms_are_one_work_area_and_a_fan_without_flow_is_refused(house: Survey) -> None:
    both = spread(house.plan, house.graph, ["kitchen", "hall"], SHEETS, flow=0.06, pressure=5.0)
    assert {"Kitchen", "Hall"}.isdisjoint(by_room(both))
    with pytest.raises(InputError, match="flow"):
        sent(house, flow=0.0)


def test_smells_of_the_study_are_those_of_the_steady_house(house: Survey) -> None:
    # The study solves the transposed balance for all voids at once; here one void by itself.
    from study.odour import WEATHER, transfers

    from wainscot.air import exchange_of, solve, steady
    from wainscot.containment.house import TIGHTNESS, House

    outside, _, _ = WEATHER["mild, shut"]
    table = transfers(house.plan, house.graph, outside, windows=False, fan=False)
    whole = House(house.plan, house.graph, (), effective_area(0.01), 293.15, outside,
                   TIGHTNESS.value, frozenset()).network(0.0)  # fmt: skip
    rooms = [key for key, hidden in zip(house.graph.keys, house.graph.hidden, strict=True)
             if not hidden]  # fmt: skip
    for v in (10, 100):
        found = exchange_of(whole, solve(whole), {house.graph.keys[v]: 1.0})
        settled = dict(zip(found.names, steady(found).tolist(), strict=True))
        assert table[:, v] == pytest.approx([settled[key] for key in rooms], rel=1e-6, abs=1e-12)


def test_a_house_of_one_room_has_nobody_next_door(house: Survey) -> None:
    kitchen = msgspec.structs.replace(
        house.plan, rooms=tuple(one for one in house.plan.rooms if one.id == "kitchen")
    )
    found = spread(kitchen, house.graph, ["kitchen"], SHEETS, flow=0.06, pressure=5.0)
    assert found.rooms == ()

"""What openings a plan offers, what they reach, and what they cost by hand."""

from __future__ import annotations

from typing import Any

import pytest

from houses import as_job, bungalow, ranch, semi
from wainscot import plan, voids
from wainscot.access import Access, all_acts, site_of, ways_to_open
from wainscot.access.panels import Panel, largest_free
from wainscot.access.reaching import THIN, WAND, share_reached
from wainscot.book import DEFAULT, read_book
from wainscot.voids.graph import Graph


def offered(document: dict[str, Any], **more: Any) -> tuple[dict[str, Access], Graph]:
    job = as_job(document)
    drawn = plan.read(job)
    graph = voids.build(drawn, "norway rat")
    return {one.id: one for one in ways_to_open(drawn, graph, site_of(job), **more)}, graph


def by_act(act: str, document: dict[str, Any], **more: Any) -> list[Access]:
    return [one for one in offered(document, **more)[0].values() if one.act == act]


def test_three_houses_together_offer_every_act_but_doors_and_loose_fixtures() -> None:
    found = {one.act for make in (bungalow, semi, ranch) for one in offered(make())[0].values()}
    opening = {name for name, act in all_acts().items() if act.purpose == "open"}
    drawn = {f"own cut in {part}" for part in ("wall", "floor", "ceiling")}
    assert opening - found <= drawn | {
        "door opened", "loose fixture out", "connected fixture out", "ceiling tiles lifted",
    }  # fmt: skip
    assert found <= opening


def test_every_opening_reaches_something_and_names_its_hours_in_the_book() -> None:
    for one in offered(semi())[0].values():
        assert one.reaches
        assert all(0 <= reach.share <= 1 for reach in one.reaches)
        assert one.minutes > 0
        assert hasattr(DEFAULT.work, all_acts()[one.act].work)


def test_every_hidden_void_but_masonry_cavities_and_low_floors_is_reached() -> None:
    # Judgement: a share of 0.8 counts as reached.  Taking out bricks is not offered; a low void
    # under several rooms is reached from each of them only in part.
    for make in (bungalow, semi):
        ways, graph = offered(make())
        reached = {r.void for one in ways.values() for r in one.reaches if r.share >= 0.8}
        left = {graph.kinds[v] for v in range(len(graph.keys)) if graph.hidden[v]} - {
            graph.kinds[v] for v in reached
        }
        assert left <= {"wall cavity", "underfloor void"}


def test_the_cost_of_one_bay_by_hand() -> None:
    # hours: 0.5 + 0.010/ft2 x area x 1.5 for protection; making good 0.5 + 0.025/ft2 x area.
    one = by_act("board between studs", ranch())[0]
    area = one.cuts[0].area / 0.3048**2
    assert one.minutes / 60 == pytest.approx(0.5 + 0.010 * area * 1.5)
    assert one.repair / 60 == pytest.approx(0.5 + 0.025 * area)
    finish = [c for c in one.charges if c.kind == "finish"]
    assert len(finish) == 1
    assert finish[0].hours > 2.2, (
        "a published small patch takes 2.2 h, and paint goes to the corner"
    )


def test_bays_of_one_wall_share_the_finishing_and_the_room() -> None:
    bays = by_act("board between studs", semi())
    same = [one for one in bays if one.surface == bays[0].surface]
    assert len(same) > 1
    shared = {c.key for c in same[0].charges} & {c.key for c in same[1].charges}
    assert {key.split()[0] for key in shared} >= {"finish", "room"}


def test_an_access_panel_is_neither_filled_nor_painted() -> None:
    for one in by_act("access panel", semi()):
        assert one.repair == 0
        assert not [c for c in one.charges if c.kind == "finish"]


def test_a_bath_comes_out_only_with_the_water_off() -> None:
    (bath,) = [one for one in by_act("fixture out", bungalow()) if "bath" in one.id]
    assert "water" in {c.key for c in bath.charges}
    assert bath.disturbance == "taken off"


def test_the_firm_s_own_hours_change_the_minutes() -> None:
    book = read_book("[work]\nkick_board = 0.25")
    (own,) = by_act("kick board off", bungalow(), book=book)
    (default,) = by_act("kick board off", bungalow())
    assert (own.minutes, default.minutes) == (15.0, 30.0)


def test_a_strip_is_cut_in_board_only_and_lies_on_one_wall() -> None:
    for one in by_act("strip of wall", semi()):
        (cut,) = one.cuts
        assert cut.board <= 0.03
        assert len(one.reaches) in (2, 4)
        assert cut.top - cut.bottom <= 0.6 + 1e-9


def test_openings_of_a_subfloor_carry_the_patch_rule_of_their_country() -> None:
    # Standard Work Specifications 3.1301.2: from 144 in2 a patch is carried by joists and blocking.
    floors = by_act("floor between joists", ranch())
    for one in floors:
        (verdict,) = [v for v in one.limits if v.rule == "3.1301.2 patch"]
        large = max(cut.area for cut in one.cuts) >= 144 * 0.0254**2
        assert bool(verdict.needs) is large


def test_reach_by_hand() -> None:
    # A cut 1.0 to 1.6 along 6 m: 1.5 m to either side, so 0 to 3.1 of 6.
    assert share_reached(0, 6, [(1.0, 1.6)], 0.35) == pytest.approx(3.1 / 6)
    assert share_reached(0, 6, [(1.0, 1.6)], 0.03) == pytest.approx((0.6 + 2 * THIN.value) / 6)
    assert share_reached(0, 6, [(1.0, 1.6), (4.0, 4.6)], 0.35) == pytest.approx(1.0)
    # A drain across the bay at 2.0 to 2.2 stops the wand there.
    assert share_reached(0, 6, [(1.0, 1.6)], 0.35, [(2.0, 2.2)]) == pytest.approx(2.0 / 6)
    assert WAND.value == 1.5


def test_the_largest_free_panel_by_hand() -> None:
    room = Panel(0.0, 0.4, 0.0, 2.4)
    pipe = Panel(0.1, 0.15, -1.0, 3.0)
    assert largest_free(room, [pipe], 0.1, 0.25) == Panel(0.15, 0.4, 0.0, 2.4)
    cable = Panel(-1.0, 1.0, 1.0, 1.1)
    assert largest_free(room, [cable], 0.1, 0.25) == Panel(0.0, 0.4, 1.1, 2.4)
    assert largest_free(room, [Panel(-1, 1, -1, 3)], 0.1, 0.25) is None

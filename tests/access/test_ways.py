"""What ways to look a plan offers, and what each of them says."""

from __future__ import annotations

import pkgutil
from pathlib import Path

import msgspec
import pytest
from sketch import drawn

import wainscot.access.acts
from wainscot.access import Access, all_acts, all_hazards, questions_of, site_of, ways
from wainscot.access.model import DEFER
from wainscot.book import DEFAULT as DEFAULT_BOOK
from wainscot.checks import answers_of
from wainscot.signs import DEFAULT

LOOKS = sorted(name for name, act in all_acts().items() if act.purpose == "look")


def offered(**more: object) -> dict[str, Access]:
    job, plan, graph = drawn(**more)
    return {one.id: one for one in ways(plan, graph, site_of(job), questions_of(job))}


def by_act(act: str, **more: object) -> list[Access]:
    return [one for one in offered(**more).values() if one.act == act]


def test_every_file_in_the_folder_is_one_act_and_each_finds_a_place_here() -> None:
    files = {module.name for module in pkgutil.iter_modules(wainscot.access.acts.__path__)}
    assert len(all_acts()) == len(files)
    found = {one.act for one in offered().values()}
    # The one framing question here is about a floor, so the look at walls has nothing to settle.
    assert set(LOOKS) - found == {"framing looked at"}


@pytest.mark.parametrize("name", LOOKS)
def test_every_act_says_what_it_is_and_where_its_minutes_come_from(name: str) -> None:
    act = all_acts()[name]
    assert "{where}" in act.sentence
    assert act.minutes.unit == "min"
    assert 0 < act.minutes.value < 8 * 60
    assert act.minutes.source
    assert all(repair.unit == "min" and repair.source for repair in act.repair.values())
    assert bool(act.repair) == act.breaks, "what is broken is made good, and only that"


@pytest.mark.parametrize("name", LOOKS)
def test_every_act_shows_something_that_can_be_weighed(name: str) -> None:
    act = all_acts()[name]
    ways_to_tell = [bool(act.method), bool(act.shows), act.right > 0]
    assert sum(ways_to_tell) == 1
    if act.shows:
        columns = zip(*act.shows, strict=True)
        assert [sum(column) for column in columns] == pytest.approx([1.0, 1.0, 1.0])
    # Camera and dust patch wait for their rates; every other method stands in the signs' table.
    assert act.method in {"", "camera", "dust patch", *DEFAULT.methods}


def test_a_bay_between_two_rooms_can_be_drilled_from_either_side() -> None:
    holes = [one for one in by_act("hole in wall") if "kitchen/e1/bay/1" in one.id]
    assert {one.room for one in holes} == {"kitchen", "hall"}


def test_tile_takes_longer_to_make_good_than_board() -> None:
    repair = {one.finish: one.repair for one in by_act("hole in wall")}
    assert repair["tile"] > repair["plasterboard"]


def test_a_cavity_wall_is_drilled_through_a_mortar_joint_and_not_as_board() -> None:
    (hole,) = by_act("hole in masonry")
    assert hole.id == "hole in masonry/hall/n1/cavity|hall"
    assert "mortar joint" in hole.words
    assert not any("cavity" in one.id for one in by_act("hole in wall"))


def test_a_faceplate_is_offered_only_where_a_cable_runs() -> None:
    assert {one.id.partition("/")[2].partition("|")[0] for one in by_act("faceplate off")} == {
        "kitchen/e1/bay/1"
    }


def test_a_kick_board_comes_off_a_door_opens_and_boxing_is_drilled() -> None:
    assert [one.disturbance for one in by_act("board off")] == ["taken off"]
    assert [one.words for one in by_act("door")] == [
        "Open the cupboard door and look in under stair V11"
    ]
    assert [one.finish for one in by_act("hole in front")] == ["boxing"]


def test_one_floorboard_shows_bays_side_by_side() -> None:
    boards = by_act("floorboard up")
    assert sorted(len(one.reaches) for one in boards) == [2, 3]
    shown = sorted(reach.void for one in boards for reach in one.reaches)
    assert shown == [3, 4, 5, 6, 7]


def test_a_drain_test_speaks_of_the_way_in_and_not_of_a_void() -> None:
    (test,) = by_act("drain test")
    assert test.sources == (0,)
    assert test.reaches == ()


def test_an_open_question_about_joists_can_be_settled_by_nail_lines() -> None:
    (look,) = by_act("nail lines")
    assert look.answers == "kitchen joists"


def test_each_framing_guess_says_what_it_answers() -> None:
    job, _, _ = drawn()
    assert answers_of(job) == {
        "along": {"kitchen joists": "along"},
        "across": {"kitchen joists": "across"},
    }


def test_ids_are_stable_and_sorted_and_name_no_index() -> None:
    first, second = list(offered()), list(offered())
    assert first == second == sorted(first)


def test_shares_are_shares_and_voids_exist() -> None:
    for one in offered().values():
        assert all(0 < reach.share <= 1 and 0 <= reach.void < 14 for reach in one.reaches)


def test_no_check_breaks_more_finish_than_the_us_minor_repair_limit() -> None:
    # 40 CFR 745.83: 6 ft2 a room inside, 0.557 m2.
    assert max(one.area for one in offered().values()) < 0.557


def test_every_hold_point_says_who_on_what_evidence_and_defers() -> None:
    for one in offered(year=None, country="US", floor="slab").values():
        for hold in one.holds:
            assert hold.words.endswith(DEFER)
            assert hold.who
            assert hold.evidence
            assert hold.source
            assert hold.first


def test_the_manual_lists_every_act_with_its_minutes_and_every_hazard() -> None:
    page = (Path(__file__).parents[2] / "docs" / "access.md").read_text(encoding="utf-8")
    for name, act in all_acts().items():
        (row,) = [line for line in page.splitlines() if line.startswith(f"| {name} |")]
        if act.purpose == "look":
            assert f"| {act.minutes.value:.0f} ({act.minutes.status}) |" in row
        else:
            hours = getattr(DEFAULT_BOOK.work, act.work)
            assert f"| {hours.value:g} ({hours.status}) |" in row
    for name in all_hazards():
        assert f"\n| {name} |" in page


@pytest.mark.parametrize(("source", "tested"), [("hole", 1), ("hole/end", 1), ("keyhole", 0)])
def test_a_drain_test_is_of_the_drain_itself_and_not_of_what_is_called_alike(
    source: str, tested: int
) -> None:
    job, plan, graph = drawn()
    named = msgspec.structs.replace(graph, source_keys=(source,))
    found = ways(plan, named, site_of(job), questions_of(job))
    assert sum(one.act == "drain test" for one in found) == tested

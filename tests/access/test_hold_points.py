"""What must be settled first, where and for whom."""

from __future__ import annotations

import pkgutil

import msgspec
import pytest
from sketch import drawn

import wainscot.access.hazards
from wainscot.access import Access, all_hazards, site_of, ways

DRILLED = "hole in wall/kitchen/e1/bay/1|kitchen"
PARTY = "hole in wall/hall/e1/bay/1|hall"
FLOOR = "hole in floor/ground/kitchen/joist-bay/0|kitchen"
CEILING = "hole in ceiling/ground/loft|kitchen"
LOFT = "through the hatch/ground/loft"
KICK = "board off/units/under|kick board"


def offered(released: frozenset[str] = frozenset(), **more: object) -> dict[str, Access]:
    job, plan, graph = drawn(**more)
    return {one.id: one for one in ways(plan, graph, site_of(job, released))}


def holds(key: str, **more: object) -> dict[str, str]:
    return {hold.hazard: hold.standing for hold in offered(**more)[key].holds}


def test_every_file_in_the_folder_is_one_hazard() -> None:
    files = {module.name for module in pkgutil.iter_modules(wainscot.access.hazards.__path__)}
    assert len(all_hazards()) == len(files)


@pytest.mark.parametrize("key", [DRILLED, FLOOR, CEILING, PARTY])
def test_no_hole_is_drilled_before_services_are_known(key: str) -> None:
    assert holds(key)["services behind the finish"] == "find out"
    assert offered()[key].first


def test_a_cable_that_is_drawn_is_named() -> None:
    words = next(
        hold.words for hold in offered()[DRILLED].holds if hold.hazard.startswith("services")
    )
    assert words.startswith("A cable is drawn here.")


def test_taking_off_a_kick_board_needs_no_finding_out() -> None:
    assert offered()[KICK].first == ()


def test_a_faceplate_bares_live_parts() -> None:
    assert holds("faceplate off/kitchen/e1/bay/1|kitchen")["live parts behind the plate"] == "stop"


@pytest.mark.parametrize(
    ("year", "country", "held"),
    [
        # 40 CFR 745: housing built before 1978.
        (1977, "US", True),
        (1978, "US", False),
        (None, "US", True),
        (1977, "CA", True),
        (1960, "UK", True),
        (2005, "UK", False),
    ],
)
def test_old_paint_holds_up_a_hole(year: int | None, country: str, held: bool) -> None:
    assert ("lead paint" in holds(DRILLED, year=year, country=country)) == held


@pytest.mark.parametrize(
    ("year", "country", "held"),
    [
        # 29 CFR 1926.1101: buildings built no later than 1980; UK: before 2000.
        (1980, "US", True),
        (1981, "US", False),
        (None, "US", True),
        (1999, "UK", True),
        (2000, "UK", False),
        (None, "UK", True),
    ],
)
def test_old_board_holds_up_a_hole(year: int | None, country: str, held: bool) -> None:
    assert ("asbestos" in holds(DRILLED, year=year, country=country)) == held


def test_a_panel_that_only_comes_off_is_a_caution_not_a_stop() -> None:
    assert holds(KICK)["asbestos"] == "care"


def test_a_ceiling_below_a_loft_asks_after_texture_and_vermiculite() -> None:
    found = holds(CEILING)
    assert found["textured ceiling"] == "find out"
    assert found["vermiculite insulation"] == "find out"
    assert "textured ceiling" not in holds(DRILLED)
    assert "textured ceiling" not in holds(CEILING, year=2005)


def test_a_wall_to_a_neighbour_stops_until_the_repair_is_named() -> None:
    assert holds(PARTY)["wall to a neighbour"] == "stop"
    assert "wall to a neighbour" not in holds(DRILLED)


@pytest.mark.parametrize(("edges", "held"), [("floor_edges", FLOOR), ("ceiling_edges", CEILING)])
def test_a_neighbour_above_stops_the_ceiling_alone_and_one_below_the_floor(
    edges: str, held: str
) -> None:
    job, plan, graph = drawn()
    joined = msgspec.structs.replace(plan, **{edges: {"kitchen": "neighbour"}})
    stopped = {one.id for one in ways(joined, graph, site_of(job))
               if any(hold.hazard == "wall to a neighbour" for hold in one.holds)}  # fmt: skip
    assert {key for key in (FLOOR, CEILING, DRILLED, PARTY) if key in stopped} == {held, PARTY}


def test_a_slab_is_not_drilled_before_a_scan() -> None:
    assert holds(FLOOR, floor="slab")["stressed tendons in the slab"] == "find out"
    assert "stressed tendons in the slab" not in holds(FLOOR)


def test_a_body_enters_a_loft_only_when_it_is_classified() -> None:
    found = holds(LOFT)
    assert found["confined space"] == "stop"
    assert found["bats and nesting birds"] == "care"


def test_every_hidden_void_may_be_soiled_and_a_room_may_not_need_gloves() -> None:
    assert holds(KICK)["infection"] == "care"
    assert holds("look round a room/kitchen") == {}


def test_what_a_named_person_released_no_longer_holds() -> None:
    keys = frozenset(hold.key for hold in offered()[DRILLED].first)
    assert offered(released=keys)[DRILLED].first == ()
    assert offered()[DRILLED].first != ()


def test_a_release_for_one_bay_does_not_release_another() -> None:
    keys = frozenset(
        hold.key for hold in offered()[DRILLED].first if hold.key.startswith("services")
    )
    assert any(hold.key.startswith("services") for hold in offered(released=keys)[FLOOR].first)


def test_a_chimney_keeps_its_clearance() -> None:
    job, plan, graph = drawn()
    words = list(graph.words)
    words[1] = "chimney breast V1"
    near = msgspec.structs.replace(graph, words=tuple(words))
    found = {one.id: one for one in ways(plan, near, site_of(job))}[DRILLED]
    assert "clearance round a chimney" in {hold.hazard for hold in found.holds}

"""Places lie in voids; a place that lies in nothing says why."""

from __future__ import annotations

from typing import Any

import pytest

from houses import as_job, bungalow, ranch, semi
from wainscot import plan, voids
from wainscot.job import Place


def located(document: dict[str, Any], place: Place) -> list[str]:
    found = plan.read(as_job(document))
    graph = voids.build(found, "norway rat")
    return [graph.keys[v] for v in voids.locate(graph, found, place)]


@pytest.mark.parametrize(
    ("place", "keys"),
    [
        (Place(of="kitchen"), ["kitchen"]),
        (Place(of="kitchen/n1", part="room"), ["kitchen"]),
        (Place(of="bath"), ["bath/under"]),
        (Place(of="units"), ["units/under", "units/gap"]),
        (Place(of="units", height=0.4), ["units/gap"]),
        # kitchen/e1 counts from the north: 1.4 m is y = 2.2, bay 5 of the bathroom's side.
        (Place(of="kitchen/e1", along=1.4), ["bathroom/w1/bay/5"]),
        (Place(of="partition", along=1.4), ["bathroom/w1/bay/5"]),
        (Place(of="bathroom/w1", along=2.2), ["bathroom/w1/bay/5"]),
        (Place(of="bathroom/w1", along=0.6, height=2.3), ["bathroom/w1/bay/1/above-head"]),
        (Place(of="kitchen/n1", along=1.0), ["kitchen/n1/cavity"]),
        (Place(storey="ground", at=(1.6, 1.8), part="floor"), ["ground/kitchen/joist-bay/4"]),
        (Place(storey="ground", at=(1.6, 1.8), height=-0.2), ["ground/crawl-space/bathroom"]),
        (Place(storey="ground", at=(1.6, 1.8)), ["kitchen"]),
        (Place(storey="ground", at=(4.0, 3.3)), ["bath/under"]),
        (Place(storey="ground", at=(4.0, 3.3), part="room"), ["bathroom"]),
        (Place(storey="ground", at=(1.6, 1.8), part="ceiling"), ["ground/loft/bathroom"]),
        (Place(storey="ground", at=(3.25, 2.2), part="wall"), ["bathroom/w1/bay/5"]),
        (Place(of="old_drain"), ["ground/crawl-space/bathroom"]),
        (Place(of="broken_drain"), ["ground/crawl-space/bathroom"]),
        (Place(of="door", part="room"), ["kitchen"]),
        (Place(of="kitchen", part="ceiling"), ["ground/loft/bathroom"]),
        (Place(of="waste", along=0.1), ["bath/under"]),
    ],
)
def test_a_place_lies_in_the_void_that_people_mean(place: Place, keys: list[str]) -> None:
    assert located(bungalow(), place) == keys


def test_an_extent_covers_every_bay_that_it_passes() -> None:
    # From 1.4 m to 2.6 m along kitchen/e1: y = 2.2 down to 1.0, where the door's jamb begins.
    keys = located(bungalow(), Place(of="kitchen/e1", along=1.4, extent=1.1, height=0.3))
    assert sorted(keys) == [f"bathroom/w1/bay/{n}" for n in (2, 3, 4, 5)]


def test_a_whole_wall_gives_all_its_bays_and_a_floor_all_its_joist_bays() -> None:
    assert len(located(bungalow(), Place(of="bathroom/w1", part="wall"))) == 8
    keys = located(bungalow(), Place(of="kitchen", part="floor"))
    assert sorted(keys) == [f"ground/kitchen/joist-bay/{n}" for n in range(9)]


def test_a_zone_holds_the_hidden_voids_within_its_radius_nearest_first() -> None:
    place = Place(storey="ground", at=(4.4, 3.0), height=0.0, radius=0.6)
    found = plan.read(as_job(bungalow()))
    graph = voids.build(found, "norway rat")
    keys = [graph.keys[v] for v in voids.locate(graph, found, place)]
    assert keys[0] == "bath/under"
    assert "bathroom" not in keys
    wide = voids.locate_zone(graph, found, Place(storey="ground", at=(4.4, 3.0)), 1.5)
    assert set(voids.locate(graph, found, place)) < set(wide)


def test_the_ceiling_of_a_lower_room_is_the_floor_of_the_one_above() -> None:
    keys = located(semi(), Place(storey="ground", at=(1.0, 6.0), part="ceiling"))
    assert keys[0].startswith("upper/bathroom/joist-bay/")


def test_a_mark_in_brick_is_told_and_not_dropped() -> None:
    document = bungalow()
    found = plan.read(as_job(document))
    graph = voids.build(found, "norway rat")
    place = Place(of="bathroom/e1", along=1.0)
    assert voids.locate(graph, found, place) == ()
    assert voids.why_lost(graph, found, place) == "this mark now lies in solid wall or floor"


def test_a_room_without_an_outline_is_not_drawn_yet() -> None:
    document = ranch()
    document["entities"]["cellar"] = {"kind": "room", "name": "Cellar"}
    found = plan.read(as_job(document))
    graph = voids.build(found, "norway rat")
    assert voids.why_lost(graph, found, Place(of="cellar")) == "cellar is not drawn yet"
    assert voids.why_lost(graph, found, Place()) == "no place was given"
    assert voids.why_lost(graph, found, Place(of="den")) == ""


def test_a_place_is_looked_up_in_the_graph_that_is_asked_for_and_no_other():
    both = [plan.read(as_job(one)) for one in (bungalow(), semi())]
    graphs = [voids.build(one, "norway rat") for one in both]
    room = [one.rooms[0].id for one in both]
    for turn in (0, 1, 0, 1):
        found = voids.locate(graphs[turn], both[turn], Place(of=room[turn]))
        assert [graphs[turn].keys[v] for v in found] == [room[turn]]
    assert voids.locate(graphs[1], both[1], Place(of="bath", part="floor")) == voids.locate(
        voids.build(both[1], "norway rat"), both[1], Place(of="bath", part="floor")
    )

"""What hangs from a ceiling leaves the wall below it and the floor under it free to be cut."""

from __future__ import annotations

from typing import Any

from houses import as_job, bungalow
from wainscot import plan, voids
from wainscot.access import Access, site_of, ways_to_open

ROOM = "kitchen"


def offered(document: dict[str, Any]) -> dict[str, Access]:
    job = as_job(document)
    drawn = plan.read(job)
    graph = voids.build(drawn, "house mouse")
    return {one.id: one for one in ways_to_open(drawn, graph, site_of(job))}


def with_tiles() -> dict[str, Any]:
    document = bungalow()
    document["entities"]["tiles"] = {
        "kind": "fixture", "type": "suspended ceiling", "room": ROOM, "against": "n1", "along": 0,
    }  # fmt: skip
    return document


def test_walls_and_floor_of_a_room_with_a_suspended_ceiling_are_cut_below_it() -> None:
    plain, tiled = offered(bungalow()), offered(with_tiles())
    below = {
        name
        for name, one in plain.items()
        if one.room == ROOM and any(cut.part in ("wall", "floor") for cut in one.cuts)
    }
    assert len(below) > 5
    assert below <= set(tiled)


def test_no_wall_is_sawn_through_the_hung_tiles() -> None:
    tiled = offered(with_tiles())
    drop = 0.3  # common practice, no source: room for lights and ducts over the tiles
    sawn = [
        cut for one in tiled.values() for cut in one.cuts
        if cut.room == ROOM and cut.part == "wall" and cut.sawn
    ]  # fmt: skip
    assert sawn
    assert all(cut.top <= 2.4 - drop + 1e-9 for cut in sawn)


def test_a_cooker_comes_out_after_somebody_licensed_has_disconnected_it() -> None:
    document = bungalow()
    document["entities"]["stove"] = {
        "kind": "fixture", "type": "cooker", "room": ROOM, "against": "s1", "along": 0.1,
    }  # fmt: skip
    one = offered(document)["connected fixture out/stove"]
    stops = {hold.hazard: hold for hold in one.holds if hold.standing == "stop"}
    assert "licensed" in stops["gas or fixed mains"].who
    assert {reach.share for reach in one.reaches} == {1.0}

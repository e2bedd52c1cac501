"""Each fault of the geometry is told with its path and cure, all at once; and what is no fault."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from houses import as_job, bungalow, ranch, rectangle, semi
from wainscot import job, plan
from wainscot.errors import InputError

Entities = dict[str, Any]
Edit = Callable[[Entities], Any]

CASES: list[tuple[str, Edit, str, str, str]] = [
    ("rooms overlap", lambda e: e["bathroom"].update(polygon=rectangle(3.0, 0, 5.5, 3.6)),
     "rooms-overlap", "kitchen.polygon", "0.72 m2"),
    ("no wall between", lambda e: e["bathroom"].update(polygon=rectangle(3.2, 0, 5.5, 3.6)),
     "no-wall-between", "kitchen.polygon", "touches"),
    ("no such side", lambda e: e["partition"].update(side="e2"),
     "unknown-side", "partition.side", "'e2'"),
    ("no such side in a place", lambda e: e["look_partition"]["place"].update(of="kitchen/e3"),
     "unknown-side", "look_partition.place.of", "'e3'"),
    ("fixture out of its room", lambda e: e["bath"].update(along=1.2),
     "fixture-outside-room", "bath.along", "does not lie within"),
    ("fixture too wide", lambda e: e["units"].update(width=4.0),
     "fixture-too-wide", "units.width", "4.00 m"),
    ("fixtures overlap", lambda e: e.update(pan={
        "kind": "fixture", "type": "wc", "room": "bathroom", "against": "n1", "along": 0.5}),
     "fixtures-overlap", "pan.along", "overlaps bath"),
    ("unknown fixture", lambda e: e["bath"].update(type="bathe"),
     "unknown-fixture", "bath.type", "'bathe'"),
    ("unknown option", lambda e: e["units"].update(options={"kick_hight": "6 in"}),
     "unknown-option", "units.options.kick_hight", "'kick_hight'"),
    ("option without unit", lambda e: e["units"].update(options={"kick_height": "6"}),
     "bad-option", "units.options.kick_height", "no unit"),
    ("opening too wide", lambda e: e["window"].update(along=0, width=3.4),
     "opening-too-wide", "window.width", "3.40 m"),
    ("opening past the end", lambda e: e["window"].update(along=2.6),
     "opening-outside-wall", "window.along", "3.60 m"),
    ("opening upside down", lambda e: e["window"].update(sill=2.0, head=1.0),
     "opening-height", "window.head", "not above its sill"),
    ("opening through the ceiling", lambda e: e["window"].update(head=2.6),
     "opening-height", "window.head", "above the ceiling"),
    ("openings overlap", lambda e: e.update(hatch={
        "kind": "opening", "room": "kitchen", "side": "n1", "type": "window", "along": 2.0,
        "width": 0.8}),
     "openings-overlap", "window.along", "overlaps hatch"),
    ("thickness told otherwise", lambda e: e["partition"].update(thickness="200 mm"),
     "wall-thickness", "partition.thickness", "100 mm apart"),
    ("room of no storey", lambda e: e.update(attic={"kind": "storey", "name": "A", "level": 1})
     or e["bathroom"].pop("storey"),
     "no-storey", "bathroom.storey", "does not say its storey"),
    ("wall of a room without outline", lambda e: e["bathroom"].pop("polygon") and None,
     "no-outline", "bath.room", "no outline yet"),
    ("too many guesses", lambda e: e.update({
        f"g{n}": {"kind": "framing_guess", "question": "q", "weight": 0.2,
                  "choices": {"ground.floor.joists_run": "x"}} for n in range(5)}),
     "too-many-guesses", "g4", "5 combinations, at most 4"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("edit", "code", "path", "what"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_a_fault_is_told_with_its_path_and_what_to_do(
    edit: Edit, code: str, path: str, what: str
) -> None:
    document = bungalow()
    edit(document["entities"])
    found = [fault for fault in plan.faults(as_job(document)) if fault.code == code]
    assert found, plan.faults(as_job(document))
    told = [fault for fault in found if fault.path == f"entities.{path}"]
    assert told, [fault.path for fault in found]
    assert what in told[0].what
    assert len(told[0].cure) > 10


def test_an_unknown_fixture_type_gets_the_nearest_and_an_unknown_side_the_list() -> None:
    document = bungalow()
    document["entities"]["bath"]["type"] = "bathe"
    document["entities"]["units"]["against"] = "n7"
    cures = {fault.code: fault.cure for fault in plan.faults(as_job(document))}
    assert "'bath'" in cures["unknown-fixture"]
    assert cures["unknown-side"] == "use one of: n1, e1, s1, w1"


def test_all_faults_come_at_once_and_reading_refuses_with_all_of_them() -> None:
    document = bungalow()
    edits = [CASES[n][1] for n in (2, 4, 7, 11)]
    for edit in edits:
        edit(document["entities"])
    document["entities"]["look_bath"]["noet"] = "panel off"
    with pytest.raises(InputError) as raised:
        plan.read(as_job(document))
    # The bath also lies outside its room, which is not looked at before its kind is known.
    codes = [fault.code for fault in raised.value.faults]
    assert sorted(codes) == [
        "opening-outside-wall", "unknown-field", "unknown-fixture", "unknown-side",
    ]  # fmt: skip


@pytest.mark.parametrize("house", [bungalow, semi, ranch])
def test_the_shared_houses_have_no_faults(house: Callable[[], dict[str, Any]]) -> None:
    found = as_job(house())
    assert job.faults(found) == []
    assert plan.faults(found) == []


def test_a_bare_list_of_rooms_and_a_find_without_a_place_are_no_faults() -> None:
    document = {
        "wainscot": 1,
        "id": "job_call",
        "entities": {
            "kitchen": {"kind": "room", "name": "Kitchen"},
            "bathroom": {"kind": "room", "name": "Bathroom"},
            "told": {"kind": "inspection", "finished": False, "finds": [{"kind": "droppings"}]},
        },
    }
    assert plan.faults(as_job(document)) == []
    found = plan.read(as_job(document))
    assert found.rooms == () and found.walls == ()  # noqa: PT018


def test_a_fixture_may_touch_another_and_stand_flush_with_the_corner() -> None:
    document = bungalow()
    document["entities"]["bath"]["width"] = 2.2
    assert plan.faults(as_job(document)) == []

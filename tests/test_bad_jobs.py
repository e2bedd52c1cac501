"""Every broken job file is met with its place, what is wrong and what to do, all at once.

Each file in ``bad_jobs`` is a small sound house with one thing broken (``many_at_once`` has six).
The table says which fault it must give, where, and words that only a message about this very
mistake can hold, so that a general "invalid input" would fail.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from wainscot import job as jobs
from wainscot import plan, signs
from wainscot.errors import Fault, InputError

FOLDER = Path(__file__).parent / "bad_jobs"

# file: (code, path, words of what is wrong, words of the cure)
EXPECTED = {
    "a_list": ("wrong-type", "the file", "no object", '"entities"'),
    "along_nothing": ("place-incomplete", "entities.look.place.of", "along what", 'add "of"'),
    "bad_id": ("bad-id", "entities.back kitchen", "'back kitchen' is no id", "kitchen_2"),
    "bad_time": ("bad-time", "entities.look.at", "14/03/2025", "2025-03-14"),
    "duplicate_field": ("duplicate-field", "entities.ground.level", "twice", "keep one"),
    "duplicate_id": ("duplicate-id", "entities.kitchen", "two entities", "kitchen_2"),
    "empty": ("empty-file", "the file", "is empty", "wainscot new"),
    "entity_is_text": ("wrong-type", "entities.kitchen", "no object", '"kind": "room"'),
    "fact_of_no_basis": ("unknown-choice", "ground.height.basis", "'measurd'", "'measured'"),
    "fact_without_value": ("missing-field", "ground.height.value", "no 'value'", 'add "value"'),
    "fixture_outside_room": ("fixture-outside-room", "entities.bath.along", "within", "300 mm"),
    "fixture_too_tall": ("fixture-too-tall", "entities.bath.height", "9.00 m", "(ground)"),
    "high_level": ("out-of-range", "entities.ground.level", "a level", "1 above"),
    "huge_number": ("not-finite", "the file", "too long to read", "digits"),
    "joists_too_close": ("out-of-range", "floor.joist_spacing", "0.1 m or more", "0.4"),
    "length_unknown_unit": ("bad-length", "kitchen.polygon[1][0]", "'cubits'", "mm"),
    "length_with_comma": ("bad-length", "entities.ground.height", "comma", "point"),
    "length_without_unit": ("bad-length", "entities.ground.height", "no unit", "2.4 mm"),
    "low_storey": ("out-of-range", "entities.ground.height", "1.5 m or more", "8 ft"),
    "millimetres_bare": ("out-of-range", "entities.wall.thickness", "100 m,", "'100 mm'"),
    "measured_nothing": ("out-of-range", "kitchen.lengths.s1", "above zero", "0.9"),
    "measured_without_unit": ("bad-length", "kitchen.lengths.s1", "no unit", "13 in"),
    "missing_field": ("missing-field", "entities.kitchen.name", "no 'name'", '"name"'),
    "negative_width": ("out-of-range", "entities.bath.width", "-700 mm", "above zero"),
    "newer_version": ("wrong-version", "wainscot", "version 2", '"wainscot": 1'),
    "no_area": ("no-area", "entities.kitchen.polygon", "no floor", "one line"),
    "no_kind": ("missing-field", "entities.kitchen.kind", "no kind", "entry_point"),
    "no_nights": ("out-of-range", "entities.look.nights", "0 is not", "1 or more"),
    "no_version": ("missing-field", "wainscot", "no 'wainscot'", '"wainscot": 1'),
    "no_wall_between": ("no-wall-between", "entities.kitchen.polygon", "no wall", "thickness"),
    "not_a_number": ("bad-length", "entities.ground.height", "nan", "2.4"),
    "not_json": ("not-json", "line 5, column 3", "','", "comma"),
    "not_utf8": ("not-utf-8", "the file", "byte 53", "UTF-8"),
    "nothing_seen": ("nothing-seen", "entities.look.share_seen", "no part", "false"),
    "null_name": ("wrong-type", "entities.kitchen.name", "null", "quotes"),
    "number_for_name": ("wrong-type", "entities.kitchen.name", "number 7", '"7"'),
    "one_point_run": ("few-corners", "entities.drain.path", "1 points", "two or more"),
    "opening_too_wide": ("opening-too-wide", "entities.door.width", "2.50 m", "width"),
    "own_trace": ("trace-in-a-circle", "look.finds[0].same_trace_as", "its own", "first"),
    "placeholder_id": ("placeholder-id", "entities.?1", "'?1'", "validate --fix"),
    "point_of_three": ("wrong-type", "kitchen.polygon[1]", "list of 3", "[x, y]"),
    "point_without_storey": ("place-incomplete", "look.place.storey", "no storey", '"storey"'),
    "repeated_corner": ("repeated-corner", "kitchen.polygon[4]", "repeats the first", "leave it"),
    "rooms_overlap": ("rooms-overlap", "entities.kitchen.polygon", "'Bathroom'", "move one"),
    "self_crossing": ("self-crossing", "kitchen.polygon[1]", "corner 3", "in order"),
    "share_above_one": ("out-of-range", "entities.look.share_seen", "50", "0.5"),
    "storey_without_level": ("rooms-overlap", "entities.kitchen.polygon", "'Bedroom'", "level"),
    "studs_too_close": ("out-of-range", "entities.wall.stud_spacing", "0.1 m or more", "1 ft"),
    "suspect_of_no_kind": ("unknown-species", "suspect.species", "brown rat", "'norway rat'"),
    "text_for_flag": ("wrong-type", "entities.drain.disused", "'yes'", "without quotes"),
    "time_without_offset": ("bad-time", "entities.look.at", "from UTC", "+00:00"),
    "too_deep": ("too-deep", "the file", "too deep", "braces"),
    "too_many_corners": (
        "too-many-corners",
        "entities.kitchen.polygon",
        "1002 corners",
        "straight",
    ),
    "trace_of_nobody": ("unknown-id", "look.finds[0].same_trace_as", "'lok_2'", "'look'"),
    "trap_by_eye": ("other-device", "entities.look.method", "'eye and lamp'", "'trap'"),
    "two_corners": ("few-corners", "entities.kitchen.polygon", "2 corners", "three or more"),
    "unknown_amount": ("unknown-amount", "look.finds[0].amount", "'loads'", "many"),
    "unknown_build": ("unknown-choice", "entities.wall.build.value", "'studs'", "'stud'"),
    "unknown_choice_field": ("bad-choice", "entities.x.choices", "'joist_run'", "'joists_run'"),
    "unknown_field": ("unknown-field", "entities.kitchen.storeys", "'storeys'", "'storey'"),
    "unknown_fixture": ("unknown-fixture", "entities.bath.type", "'baht'", "'bath'"),
    "unknown_header": ("unknown-field", "titel", "'titel'", "'title'"),
    "unknown_kind": ("unknown-kind", "entities.kitchen.kind", "'rooom'", "'room'"),
    "unknown_method": ("unknown-method", "entities.look.method", "'borescop'", "'borescope'"),
    "unknown_place": ("unknown-id", "entities.look.place.of", "'shower'", "bathroom"),
    "unknown_side": ("unknown-side", "entities.bath.against", "'n2'", "n1, e1"),
    "unknown_sign": ("unknown-sign", "look.finds[0].kind", "'dropings'", "'droppings'"),
    "unknown_storey": ("unknown-id", "entities.kitchen.storey", "'grond'", "'ground'"),
    "unknown_units": ("unknown-choice", "units", "'feet'", "ft-in"),
    "wall_twice": ("said-twice", "entities.w2", "'w1' already", "keep one"),
    "weights": ("weights", "entities.x.weight", "sum to 1.2", "x 0.6, y 0.6"),
    "wrong_choice": ("unknown-choice", "ground.floor.joists_run", "'east'", "x, y"),
    "wrong_reference": ("wrong-reference", "entities.bath.room", "kind storey", "bathroom"),
    "year_of_two_figures": ("out-of-range", "settings.year_built", "34", "1934"),
}

SEVERAL = {
    "duplicate_placeholder": {("duplicate-id", "entities.?"), ("placeholder-id", "entities.?")},
    "traces_in_a_circle": {
        ("trace-in-a-circle", "entities.look_2.finds[0].same_trace_as"),
        ("trace-in-a-circle", "entities.look_3.finds[0].same_trace_as"),
    },
    "many_at_once": {
        ("unknown-id", "entities.bath.room"),
        ("bad-length", "entities.bathroom.polygon[1][0]"),
        ("bad-length", "entities.ground.height"),
        ("missing-field", "entities.kitchen.name"),
        ("unknown-field", "entities.kitchen.nmae"),
        ("out-of-range", "entities.look.share_seen"),
    },
}


def everything_wrong(content: bytes) -> list[Fault]:
    """Return every fault that reading, the plan and the signs find in a job file."""
    try:
        job = jobs.read(content)
    except InputError as error:
        return list(error.faults)
    return [*jobs.faults(job), *plan.faults(job), *signs.faults(jobs.sound(job))]


def test_every_file_is_expected_to_be_broken_in_its_own_way() -> None:
    names = {path.stem for path in FOLDER.glob("*.json")}
    assert names == {*EXPECTED, *SEVERAL, "good"}
    assert len(names) - 1 >= 40
    assert len({(code, path, what) for code, path, what, _ in EXPECTED.values()}) == len(EXPECTED)


def test_the_house_that_the_broken_ones_were_made_from_is_sound() -> None:
    assert everything_wrong((FOLDER / "good.json").read_bytes()) == []


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_the_message_names_the_place_the_mistake_and_the_cure(name: str) -> None:
    code, path, what, cure = EXPECTED[name]
    faults = everything_wrong((FOLDER / f"{name}.json").read_bytes())
    assert [fault.code for fault in faults] == [code]
    (fault,) = faults
    assert fault.path == path if "." not in path else path in fault.path
    assert what in fault.what
    assert cure in fault.cure
    assert str(fault) == f"{fault.path}: {fault.what}; {fault.cure} [{code}]"


@pytest.mark.parametrize("name", sorted(SEVERAL))
def test_all_mistakes_of_a_file_are_told_at_once(name: str) -> None:
    faults = everything_wrong((FOLDER / f"{name}.json").read_bytes())
    assert {(fault.code, fault.path) for fault in faults} == SEVERAL[name]
    assert len(faults) == len(SEVERAL[name])


@pytest.mark.parametrize("name", sorted({*EXPECTED, *SEVERAL}))
def test_a_path_in_the_file_leads_to_something_in_the_file(name: str) -> None:
    text = (FOLDER / f"{name}.json").read_bytes().decode("latin-1")
    for fault in everything_wrong((FOLDER / f"{name}.json").read_bytes()):
        if not fault.path.startswith("entities."):
            continue
        entities = json.loads(text)["entities"]
        owner = max((key for key in entities if fault.path.startswith(f"entities.{key}")), key=len)
        rest = fault.path.removeprefix(f"entities.{owner}")
        steps = re.findall(r"\.([^.\[]+)|\[(\d+)\]", rest)
        here = entities[owner]
        for step, (field, number) in enumerate(steps):
            if isinstance(here, list):
                here = here[int(number)]
            elif field in here:
                here = here[field]
            else:  # a missing field is the last step; a choice is one dotted name
                assert step == len(steps) - 1 or field in {"ground"}
                break


def test_nothing_is_wrong_with_a_bare_list_of_rooms_and_unplaced_finds() -> None:
    text = """{"wainscot": 1, "id": "job_first_call", "entities": {
        "kitchen": {"kind": "room", "name": "Kitchen"}, "hall": {"kind": "room", "name": "Hall"},
        "call": {"kind": "inspection", "finished": false, "grade": "told",
                 "finds": [{"kind": "droppings"}]}}}"""
    assert everything_wrong(text.encode()) == []

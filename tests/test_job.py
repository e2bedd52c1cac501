"""The job file: what goes in comes out, what is wrong is told, what can be mended is mended."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Sequence
from datetime import date
from typing import Any

import msgspec
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

import houses
from damage import SCRAPS, damaged
from wainscot import job as jobs
from wainscot import plan
from wainscot.errors import Fault, InputError
from wainscot.job.ring import ring_area, ring_faults

HOUSES = [houses.bungalow, houses.semi, houses.ranch]


@pytest.mark.parametrize("house", HOUSES)
def test_a_sound_house_has_no_fault_and_can_be_typed(house: Any) -> None:
    job = jobs.read(json.dumps(house()))
    assert jobs.faults(job) == []
    assert jobs.typed(job).keys() == job.entities.keys()
    assert jobs.sound(job) == job


@pytest.mark.parametrize("house", HOUSES)
def test_writing_and_reading_gives_the_same_job_and_the_same_text(house: Any) -> None:
    job = jobs.read(json.dumps(house()))
    text = jobs.write(job)
    assert jobs.read(text) == job
    assert jobs.write(jobs.read(text)) == text
    assert max(len(line) for line in text.splitlines()) <= 100


def test_the_order_of_entities_and_fields_in_a_file_does_not_change_what_is_written() -> None:
    house = houses.bungalow()
    turned = {
        **house,
        "entities": {
            key: dict(reversed(list(house["entities"][key].items())))
            for key in reversed(house["entities"])
        },
    }
    one, two = jobs.read(json.dumps(house)), jobs.read(json.dumps(turned))
    assert one == two
    assert jobs.write(one) == jobs.write(two)


def test_conflicts_stand_in_the_file() -> None:
    lost = jobs.Conflict("r", "name", "aa", ("bb",), ('"Pantry"',))
    job = jobs.Job("job_a", entities={"r": {"kind": "room", "name": "Bar"}}, conflicts=(lost,))
    assert jobs.read(jobs.write(job)) == job


def test_a_byte_order_mark_is_passed_over() -> None:
    text = '\ufeff{"wainscot": 1, "id": "job_a", "entities": {}}'
    assert jobs.read(text) == jobs.read(text.encode()) == jobs.Job("job_a")


def test_a_text_is_kept_as_typed() -> None:
    text = '{"wainscot": 1, "id": "j", "entities": {"r": {"kind": "storey", "height": "8\'-0\\""}}}'
    assert jobs.read(text).entities["r"]["height"] == "8'-0\""


def test_sound_keeps_only_the_entities_that_nothing_is_wrong_with() -> None:
    good = {"kind": "room", "name": "Kitchen"}
    job = jobs.Job("job_a", entities={"a": good, "a2": {"kind": "room"}, "b": {"kind": "x"}})
    assert jobs.sound(job).entities == {"a": good}


@pytest.mark.parametrize(
    ("entity", "codes"),
    [
        ({"kind": "storey", "name": "G", "level": 1.5}, ["wrong-type"]),
        ({"kind": "storey", "name": "G", "height": 0}, ["out-of-range"]),
        ({"kind": "storey", "name": "G", "height": "30.1 m"}, ["out-of-range"]),
        ({"kind": "storey", "name": "G", "height": "30 m"}, []),
        ({"kind": "storey", "name": "G", "height": 1.49}, ["out-of-range"]),
        ({"kind": "storey", "name": "G", "height": 1.5}, []),
        ({"kind": "storey", "name": "G", "level": -21}, ["out-of-range"]),
        ({"kind": "storey", "name": "G", "level": 200}, []),
        ({"kind": "wall", "room": "r", "side": "n1", "stud_spacing": "99 mm"}, ["out-of-range"]),
        ({"kind": "wall", "room": "r", "side": "n1", "stud_spacing": "100 mm"}, []),
        ({"kind": "wall", "room": "r", "side": "n1", "stud_spacing": "2.1 m"}, ["out-of-range"]),
        ({"kind": "wall", "room": "r", "side": "n1", "first_stud": 0}, []),
        ({"kind": "wall", "room": "r", "side": "n1", "first_stud": "-1 mm"}, ["out-of-range"]),
        ({"kind": "room", "name": "K", "polygon": {"value": [[0, 0]]}}, ["wrong-type"]),
        ({"kind": "inspection", "share_seen": {"value": 1}}, ["wrong-type"]),
        ({"kind": "inspection", "place": {"of": "r/n1"}}, []),
        ({"kind": "inspection", "place": {"of": "g"}}, []),
        ({"kind": "inspection", "place": {"of": "g/n1"}}, ["wrong-reference"]),
        ({"kind": "inspection", "place": {"of": "s"}}, ["wrong-reference"]),
        ({"kind": "inspection", "place": {}}, []),
        ({"kind": "inspection", "finds": [{"kind": "x", "species": "ship rat"}]}, [
            "unknown-species"
        ]),
        ({"kind": "inspection", "finds": [{"kind": "x", "photo": "a", "photos": ["b"]}]}, []),
        ({"kind": "inspection", "finds": [{"kind": "x", "photos": "b"}]}, ["wrong-type"]),
        ({"kind": "paper_plan", "storey": "g", "image": "ab" * 32, "size": [400, 300],
          "corners": [[0, 4], ["5 m", 4], [5, 0], [0, 0]],
          "known": {"start": [1, 1], "stop": [9.5, 1], "length": "16 ft"}}, []),
        ({"kind": "paper_plan", "storey": "r", "image": "ab", "size": [0, 300],
          "corners": [[0, 4], [5, 4], [5, 0]]}, [
            "out-of-range", "out-of-range", "out-of-range", "wrong-reference"
        ]),
        ({"kind": "photo", "of": "gone", "photo": "ab" * 32, "at": "2025-03-14"}, []),
        ({"kind": "photo", "of": "r", "photo": "ab" * 32, "find": -1, "at": "noon"}, [
            "bad-time", "out-of-range"
        ]),
        ({"kind": "paper_plan", "storey": "g", "known": {"start": [1, 1]}}, [
            "missing-field", "missing-field", "missing-field", "missing-field", "missing-field"
        ]),
    ],
)  # fmt: skip
def test_each_rule_holds_to_its_very_edge(entity: dict[str, Any], codes: list[str]) -> None:
    known = {
        "r": {"kind": "room", "name": "Kitchen"},
        "g": {"kind": "storey", "name": "Ground"},
        "s": {"kind": "settings"},
    }
    job = jobs.Job("job_a", entities={**known, "x": entity})
    faults = jobs.faults(job)
    assert [fault.code for fault in faults] == codes
    assert all(fault.path.startswith("entities.x.") for fault in faults)


def test_true_is_no_version_one() -> None:
    with pytest.raises(InputError, match="wrong-version"):
        jobs.read('{"wainscot": true, "id": "job_a", "entities": {}}')


def test_a_new_job_has_an_id_that_follows_from_title_units_and_seed() -> None:
    assert jobs.new("Mill", seed=1) == jobs.new("Mill", seed=1)
    others = {jobs.new("Mill", seed=2).id, jobs.new("Mill", "ft-in", seed=1).id}
    others.add(jobs.new("Mill 2", seed=1).id)
    assert jobs.new("Mill", seed=1).id not in others
    assert jobs.faults(jobs.new("Mill", seed=1)) == []


def test_a_fact_gives_its_value_and_its_basis() -> None:
    assert jobs.value_of(None, 2.4) == (2.4, "default")
    assert jobs.value_of("8 ft", 2.4) == ("8 ft", "seen")
    assert jobs.value_of(jobs.Fact(0, "measured", "tape"), 2.4) == (0, "measured")


# --- validate --fix


def _with_placeholders() -> jobs.Job:
    return jobs.Job(
        "?",
        title=" Mill ",
        entities={
            "?1": {"kind": "Storey", "name": "Ground floor"},
            "?2": {
                "kind": "room", "name": " Kitchen", "storey": "?1",
                "polygon": [[0, 0], [3, 0], [3, 0], [3, 3], [0, 3], [0, 0]],
            },
            "?": {"kind": "inspection", "place": {"of": "?2/n1", "storey": "?1"}, "note": "?1"},
            "guess": {
                "kind": "framing-guess", "question": "q", "weight": 1.0,
                "choices": {"?1.floor.joists_run": "x"},
            },
            "again": {
                "kind": "inspection", "finds": [{"kind": "droppings", "same_trace_as": "?"}],
            },
        },
    )  # fmt: skip


def test_fix_gives_ids_rewrites_references_and_says_what_it_did() -> None:
    job, done = jobs.fix(_with_placeholders(), seed=7)
    assert jobs.faults(job) == []
    by_kind = {entity["kind"]: key for key, entity in job.entities.items() if key != "again"}
    ground, kitchen, look = by_kind["storey"], by_kind["room"], by_kind["inspection"]
    assert ground.startswith("storey_")
    assert job.id.startswith("job_")
    assert job.title == "Mill"
    assert job.entities[kitchen]["storey"] == ground
    assert job.entities[kitchen]["name"] == "Kitchen"
    assert job.entities[kitchen]["polygon"] == [[0, 0], [3, 0], [3, 3], [0, 3]]
    assert job.entities[look]["place"] == {"of": f"{kitchen}/n1", "storey": ground}
    assert job.entities[look]["note"] == "?1", "free text is nobody's reference"
    assert job.entities["again"]["finds"][0]["same_trace_as"] == look
    assert job.entities["guess"]["choices"] == {f"{ground}.floor.joists_run": "x"}
    assert len(done) == 9
    assert f"?1 is now {ground}" in done


def test_fix_follows_from_the_seed_alone_and_leaves_a_sound_job_alone() -> None:
    assert jobs.fix(_with_placeholders(), seed=7) == jobs.fix(_with_placeholders(), seed=7)
    assert jobs.fix(_with_placeholders(), seed=8) != jobs.fix(_with_placeholders(), seed=7)
    for house in HOUSES:
        job = houses.as_job(house())
        assert jobs.fix(job, seed=1) == (job, [])


def test_fix_leaves_what_needs_a_decision() -> None:
    job = jobs.Job("job_a", entities={"r": {"kind": "room", "nmae": "Kitchen"}})
    assert jobs.fix(job, seed=1) == (job, [])


# --- outlines, against another library

CORNERS = st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), min_size=3, max_size=7)


@settings(max_examples=600)
@given(CORNERS)
def test_an_outline_is_refused_exactly_where_shapely_finds_it_invalid(
    corners: list[tuple[int, int]],
) -> None:
    repeats = any(corners[n] == corners[n - 1] for n in range(len(corners)))
    faults = ring_faults(corners, "polygon")
    if repeats:
        assert {fault.code for fault in faults} == {"repeated-corner"}
    else:
        assert bool(faults) == (not shapely.Polygon(corners).is_valid)


def test_a_comb_of_a_thousand_corners_is_looked_through_and_more_are_refused() -> None:
    # Long teeth share the whole of x, so that every side has to be compared with every other.
    teeth = [(10.0 * (n % 2), 0.01 * n) for n in range(998)]
    comb = [*teeth, (20.0, 9.98), (20.0, -1.0)]
    assert shapely.Polygon(comb).is_valid
    assert ring_faults(comb, "polygon") == []
    crossed = [*comb[:500], comb[600], *comb[501:600], comb[500], *comb[601:]]
    assert not shapely.Polygon(crossed).is_valid
    assert {fault.code for fault in ring_faults(crossed, "polygon")} == {"self-crossing"}
    (refused,) = ring_faults([*comb, (0.0, -1.0)], "polygon")
    assert refused.code == "too-many-corners"


def test_corners_that_the_plan_would_take_for_one_are_told() -> None:
    near = [(3.1, 0.0), (5.1, 0.0), (5.1, 3.0), (3.1, 1e-300)]
    assert [one.code for one in ring_faults(near, "polygon")] == ["repeated-corner"]
    turns = [math.tau * n / 1000 for n in range(1000)]
    dot = [(0.001 * math.cos(one), 0.001 * math.sin(one)) for one in turns]
    assert shapely.Polygon(dot).is_valid
    assert [one.code for one in ring_faults(dot, "polygon")] == ["no-area"]
    outline = {"kind": "room", "name": "A", "storey": "s", "polygon": near}
    storey = {"kind": "storey", "name": "Ground", "level": 0}
    assert plan.faults(jobs.Job("j", entities={"r": outline, "s": storey})) == []  # left to the job


@pytest.mark.parametrize("kind", jobs.KINDS)
def test_every_field_that_is_missing_is_told_with_an_example(kind: str) -> None:
    fields = {one.encode_name for one in msgspec.structs.fields(jobs.KINDS[kind]) if one.required}
    told = jobs.faults(jobs.Job("j", entities={"a": {"kind": kind}}))
    missing = [one for one in told if one.code == "missing-field"]
    assert {one.path for one in missing} == {f"entities.a.{name}" for name in fields}
    assert all(one.cure.startswith(f'add "{one.path.split(".")[-1]}"') for one in missing)


def test_what_a_conflict_lacks_is_told() -> None:
    text = '{"wainscot": 1, "id": "job_a", "entities": {}, "conflicts": [{}]}'
    with pytest.raises(InputError) as refused:
        jobs.read(text)
    assert len(refused.value.faults) == 4


def test_what_a_conflict_holds_otherwise_than_it_should_is_told() -> None:
    one = {"entity": "a", "field": "b", "winner": "c", "others": "d", "lost": [3]}
    file = {"wainscot": 1, "id": "job_a", "entities": {}, "conflicts": [one]}
    with pytest.raises(InputError) as refused:
        jobs.read(json.dumps(file))
    assert [each.path for each in refused.value.faults] == [
        "conflicts[0].lost[0]", "conflicts[0].others",
    ]  # fmt: skip


def test_of_an_outline_in_a_tangle_the_first_crossings_are_told() -> None:
    star = [(float(n * 7919 % 997), float(n * 104729 % 991)) for n in range(300)]
    assert len(ring_faults(star, "polygon")) == 20


@given(CORNERS)
def test_the_area_of_an_outline_is_shapelys(corners: list[tuple[int, int]]) -> None:
    ring = shapely.Polygon(corners)
    if ring.is_valid:
        assert abs(ring_area(corners)) == pytest.approx(ring.area)
        assert (ring_area(corners) > 0) == ring.exterior.is_ccw


# --- dates, given what day it is

TODAY = date(2026, 6, 1)


def _looked(*times: str) -> jobs.Job:
    looks = {f"look_{n}": {"kind": "inspection", "at": at} for n, at in enumerate(times)}
    return jobs.Job("job_a", entities=looks)


@pytest.mark.parametrize(
    ("at", "codes"),
    [
        ("2026-06-01", []),
        ("2026-06-03", []),
        ("2026-06-03T23:59:00+14:00", []),
        ("2026-06-04", ["future-date"]),
        ("2062-05-02", ["future-date"]),
        ("", []),
        ("yesterday", []),
    ],
)
def test_a_look_in_days_to_come_is_told_by_what_day_it_is(at: str, codes: list[str]) -> None:
    found = jobs.dates_to_come(_looked("2026-05-02", at), TODAY)
    assert [fault.code for fault in found] == codes
    assert all(fault.path == "entities.look_1.at" for fault in found)
    assert all("today is 2026-06-01" in fault.what for fault in found)


def test_a_visit_may_be_still_to_come() -> None:
    job = jobs.Job("job_a", entities={"v": {"kind": "visit", "at": "2026-09-01"}})
    assert jobs.dates_to_come(job, TODAY) == jobs.faults(job) == []


def test_a_look_decades_from_all_others_is_worth_a_warning() -> None:
    assert jobs.far_dates(_looked("2026-05-02", "2026-05-03"), TODAY) == []
    assert jobs.far_dates(_looked("2026-05-02", "2010-05-03"), TODAY) == []
    assert jobs.far_dates(_looked("2001-05-02", "2001-05-03"), TODAY) == [], "an old job"
    (far,) = jobs.far_dates(_looked("2026-05-02", "2002-05-03"), TODAY)
    assert (far.code, far.path) == ("far-date", "entities.look_1.at")


@pytest.mark.parametrize(
    ("at", "codes"),
    [
        ("2025-03-14", []),
        ("20250314", []),
        ("2025-03-14T09:30:00Z", []),
        ("2025-03-14T09:30-05:00", []),
        ("2025-03-14T09:30:00", ["bad-time"]),
        ("2025-03-14 09:30", ["bad-time"]),
        ("2025-02-30", ["bad-time"]),
    ],
)
def test_a_time_needs_its_offset_and_a_date_none(at: str, codes: list[str]) -> None:
    assert [fault.code for fault in jobs.faults(_looked(at))] == codes


@pytest.mark.parametrize("entity", [
    {"kind": "trap", "place": {"of": "kitchen"}},
    {"kind": "trap_check", "trap": "trap_1", "state": "set"},
    {"kind": "air_reading", "of": "CO2", "value": 600},
    {"kind": "closed", "by": "L. Brandt"},
    {"kind": "callback", "by": "Office", "why": "a smell"},
])  # fmt: skip
def test_what_days_are_counted_from_may_not_be_empty(entity: dict[str, Any]) -> None:
    house = houses.bungalow()
    house["entities"]["trap_1"] = {"kind": "trap", "place": {"of": "kitchen"}, "at": "2025-03-14"}
    for at, codes in (("", {"bad-time"}), ("2025-03-14", set())):
        house["entities"]["it"] = {**entity, "at": at}
        found = jobs.faults(jobs.read(json.dumps(house)))
        assert {one.code for one in found if one.path == "entities.it.at"} == codes


# --- a damaged job


def _well_told(faults: Sequence[Fault]) -> None:
    assert all(fault.path and fault.what and fault.cure for fault in faults)
    assert all(str(fault).isprintable() for fault in faults)


@settings(max_examples=300, deadline=None)
@given(damaged())
def test_a_damaged_job_is_refused_or_told_of_and_nothing_else_is_raised(
    house: dict[str, Any],
) -> None:
    try:
        job = jobs.read(json.dumps(house))
    except InputError as error:
        _well_told(error.faults)
        return
    faults = jobs.faults(job)
    _well_told(faults)
    jobs.typed(jobs.sound(job))
    if not faults:
        assert jobs.read(jobs.write(job)) == job
    mended, _ = jobs.fix(job, seed=3)
    jobs.faults(mended)


@settings(max_examples=300)
@given(st.binary(max_size=60) | st.text(st.characters(codec="utf-8")).map(str.encode))
def test_rubbish_is_refused_with_a_place(content: bytes) -> None:
    with pytest.raises(InputError) as caught:
        jobs.read(content)
    assert all(fault.path and fault.cure for fault in caught.value.faults)


@given(st.sampled_from(HOUSES), st.data())
def test_what_faults_lets_through_is_what_msgspec_lets_through(house: Any, data: Any) -> None:
    document = house()
    key = data.draw(st.sampled_from(sorted(document["entities"])))
    field = data.draw(st.sampled_from(sorted(document["entities"][key])))
    document["entities"][key][field] = copy.deepcopy(data.draw(st.sampled_from(SCRAPS)))
    entity = document["entities"][key]
    job = houses.as_job(document)
    fine = not [one for one in jobs.faults(job) if one.path.startswith(f"entities.{key}")]
    if fine:
        msgspec.convert(entity, type=jobs.AnyEntity)


def test_visits_and_who_is_on_the_job_are_entities_like_others() -> None:
    house = houses.bungalow()
    house["entities"] |= {
        "visit_1": {"kind": "visit", "at": "2025-03-14T09:30+00:00", "who": ["acc_1"],
                    "done": "looked under the sink", "next": "take the traps up",
                    "next_at": "2025-03-21"},
        "crew_1": {"kind": "crew", "who": "acc_1", "leads": True},
    }  # fmt: skip
    job = jobs.read(json.dumps(house))
    assert jobs.faults(job) == []
    typed = jobs.typed(job)
    assert isinstance(typed["visit_1"], jobs.Visit)
    assert typed["visit_1"].next_at == "2025-03-21"
    assert typed["crew_1"] == jobs.Crew("acc_1", leads=True)
    house["entities"]["visit_1"]["next_at"] = "next week"
    assert [one.code for one in jobs.faults(jobs.read(json.dumps(house)))] == ["bad-time"]

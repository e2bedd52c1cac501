"""From a walked house to a sheet: every void has its place, every number is the answer's."""

import json

import msgspec
import pytest
from shapely.geometry import Point, Polygon
from shapely.ops import unary_union

from houses import as_job, bungalow, ranch, semi
from wainscot import chance, demos, job
from wainscot.diagnosis.answer import Diagnosis
from wainscot.picture import Sheet, compose
from wainscot.picture.layers import layers_of
from wainscot.walk import Survey, survey, walk

HOUSES = {
    "bungalow": as_job(bungalow()),
    "ranch": as_job(ranch()),
    "semi": as_job(semi()),
    "demo": job.read(demos.text()),
    "cafe": job.read(demos.text("corner_cafe")),
    "cottage": job.read(demos.text("terraced_cottage")),
}


def plain(surveyed: Survey) -> Sheet:
    return compose(surveyed.job, surveyed.plan, surveyed.graph, surveyed.evidence)


@pytest.fixture(scope="module")
def walked() -> tuple[Survey, Diagnosis, Sheet]:
    done = walk(HOUSES["demo"], draws=512)
    s = done.survey
    sheet = compose(s.job, s.plan, s.graph, s.evidence, done.diagnosis, date="12 May 2026")
    return s, done.diagnosis, sheet


@pytest.mark.parametrize("house", HOUSES)
def test_every_hidden_void_is_in_one_layer_and_no_room_is(house: str) -> None:
    surveyed = survey(HOUSES[house])
    dealt = [v for layer in layers_of(surveyed.plan, surveyed.graph) for v in layer.voids]
    assert sorted(dealt) == [v for v, hidden in enumerate(surveyed.graph.hidden) if hidden]


@pytest.mark.parametrize("house", HOUSES)
def test_every_hidden_void_is_on_the_sheet_and_panels_have_places_of_their_own(house: str) -> None:
    surveyed = survey(HOUSES[house])
    sheet = plain(surveyed)
    graph = surveyed.graph
    shown = sorted(shape.id for panel in sheet.panels for shape in panel.voids)
    assert shown == sorted(key for key, hidden in zip(graph.keys, graph.hidden, strict=True)
                           if hidden)  # fmt: skip
    places = [(panel.column, panel.row) for panel in sheet.panels]
    assert len(set(places)) == len(places)


@pytest.mark.parametrize("house", HOUSES)
def test_walls_leave_the_rooms_free_and_close_the_corners(house: str) -> None:
    for panel in plain(survey(HOUSES[house])).panels:
        rooms = unary_union([Polygon(room.ring) for room in panel.rooms])
        walls = unary_union([Polygon(ring) for ring in panel.walls]).difference(rooms)
        solid = Polygon(panel.walls[0], [ring for ring in panel.walls[1:]
                        if Polygon(panel.walls[0]).contains(Polygon(ring))])  # fmt: skip
        assert solid.intersection(rooms).area < 1e-6
        assert walls.area > 0


@pytest.mark.parametrize("house", HOUSES)
def test_voids_that_are_drawn_in_one_panel_do_not_hide_each_other(house: str) -> None:
    for panel in plain(survey(HOUSES[house])).panels:
        drawn = [Polygon(shape.ring) for shape in panel.voids if not shape.hidden_by]
        for i, later in enumerate(drawn):
            for earlier in drawn[:i]:
                shared = later.intersection(earlier).area
                assert shared <= 0.6 * max(later.area, earlier.area) + 1e-9
                # What is drawn later lies on top, so it must be the smaller one.
                assert shared <= 1e-9 or later.area <= earlier.area + 1e-9


def test_rooms_stay_bare_of_what_hangs_over_peoples_heads() -> None:
    surveyed = survey(HOUSES["cafe"])
    views = [layer for layer in layers_of(surveyed.plan, surveyed.graph) if layer.where == "view"]
    floors = {storey.id: storey.elevation for storey in surveyed.plan.storeys}
    overhead = 0
    for v, outline in enumerate(surveyed.graph.polygon):
        storey, shape = surveyed.graph.storeys[v], Polygon(outline)
        rooms = unary_union([Polygon(room.polygon) for room in surveyed.plan.rooms
                             if room.storey == storey])  # fmt: skip
        high = surveyed.graph.bottom[v] > floors[storey] + 2.0
        if surveyed.graph.hidden[v] and high and shape.intersection(rooms).area > 0.9 * shape.area:
            overhead += 1
            assert not [layer for layer in views if v in layer.voids], surveyed.graph.words[v]
    assert overhead >= 3


def test_without_a_diagnosis_nothing_has_a_chance() -> None:
    sheet = plain(survey(HOUSES["demo"]))
    assert not sheet.calculated
    assert {shape.state for panel in sheet.panels for shape in panel.voids} == {"not calculated"}
    assert all(entry.chance is None for panel in sheet.panels for entry in panel.entries)


def test_the_sheet_has_the_chances_of_the_answer(
    walked: tuple[Survey, Diagnosis, Sheet],
) -> None:
    surveyed, answer, sheet = walked
    shapes = {shape.id: shape for panel in sheet.panels for shape in panel.voids}
    for each in answer.voids:
        if each.id in shapes:
            assert shapes[each.id].chance == each.soiled
            assert shapes[each.id].looked == each.looked
    fields = {"in-use": "now", "nest": "nest"}
    for shows, field in fields.items():
        other = compose(surveyed.job, surveyed.plan, surveyed.graph, surveyed.evidence, answer,
                        shows=shows)  # type: ignore[arg-type]  # fmt: skip
        chances = {shape.id: shape.chance for panel in other.panels for shape in panel.voids}
        assert all(chances[a.id] == getattr(a, field) for a in answer.voids if a.id in chances)


def test_ways_in_are_labelled_by_rank_and_lie_where_their_place_says(
    walked: tuple[Survey, Diagnosis, Sheet],
) -> None:
    surveyed, answer, sheet = walked
    shapes = {entry.words: entry for panel in sheet.panels for entry in panel.entries}
    ranked = [each for each in answer.entries if each.sort == "entry point"]
    assert [shapes[each.words].label for each in ranked] == ["E1", "E2", "E3"]
    named = {key: entity for key, entity in surveyed.job.entities.items()
             if entity["kind"] == "entry_point"}  # fmt: skip
    for entity in named.values():
        at = entity["place"].get("at") or surveyed.job.entities["old_drain"]["path"][-1][:2]
        assert shapes[entity["name"]].at == tuple(at)
    listed = {line.label: line.number for line in sheet.ways_in if line.label}
    assert listed == {shapes[a.words].label: chance.percent(a.used) for a in ranked}


def test_a_run_names_its_way_in_by_id_and_begins_where_that_lies(
    walked: tuple[Survey, Diagnosis, Sheet],
) -> None:
    surveyed, answer, sheet = walked
    graph = surveyed.graph
    placed = {entry.words: entry.at for panel in sheet.panels for entry in panel.entries}
    begins = {ribbon.letter: ribbon.line[0] for panel in sheet.panels for ribbon in panel.ribbons
              if ribbon.begins}  # fmt: skip
    for letter, run in zip("ABC", answer.runs, strict=False):
        e = graph.source_keys.index(run.source)
        assert graph.keys[graph.source_void[e]] == run.voids[0]
        if graph.source_sort[e] == "entry point":
            assert begins[letter] == placed[graph.source_words[e]]


def test_runs_are_chained_through_the_panels(walked: tuple[Survey, Diagnosis, Sheet]) -> None:
    _, answer, sheet = walked
    ribbons = [ribbon for panel in sheet.panels for ribbon in panel.ribbons]
    letters = {ribbon.letter for ribbon in ribbons}
    assert letters == set("ABC"[: min(3, len(answer.runs))])
    for letter in letters:
        parts = [ribbon for ribbon in ribbons if ribbon.letter == letter]
        assert sum(part.begins for part in parts) == 1
        assert sum(part.rises == 0 for part in parts) == 1


def test_each_placed_inspection_has_one_mark_and_those_without_a_place_none(
    walked: tuple[Survey, Diagnosis, Sheet],
) -> None:
    surveyed, _, sheet = walked
    marks = [sign for panel in sheet.panels for sign in panel.signs]
    looks = [e for e in surveyed.job.entities.values() if e["kind"] == "inspection"]
    assert len(marks) == sum("place" in look for look in looks)
    assert sheet.unplaced == sum("place" not in look for look in looks) == 1
    sound = next(sign for sign in marks if sign.letter == "S")
    assert (sound.radius, sound.at) == (1.5, (4.6, 6.6))


def test_rooms_without_an_outline_are_named_as_not_drawn(
    walked: tuple[Survey, Diagnosis, Sheet],
) -> None:
    missing = {name for panel in walked[2].panels for name in panel.undrawn}
    assert missing == {"Back bedroom", "Box room"}


def test_a_void_in_doubt_and_one_that_was_seen_keep_their_looks(
    walked: tuple[Survey, Diagnosis, Sheet],
) -> None:
    surveyed, answer, _ = walked
    hidden = [each for each in answer.voids if each.hidden]
    changed = {
        hidden[0].id: msgspec.structs.replace(hidden[0], band="can't tell yet"),
        hidden[1].id: msgspec.structs.replace(hidden[1], band="seen", seen="clean"),
    }
    voids = tuple(changed.get(each.id, each) for each in answer.voids)
    odd = msgspec.structs.replace(answer, voids=voids)
    sheet = compose(surveyed.job, surveyed.plan, surveyed.graph, surveyed.evidence, odd)
    shapes = {shape.id: shape for panel in sheet.panels for shape in panel.voids}
    assert shapes[hidden[0].id].state == "can't tell yet"
    assert shapes[hidden[1].id].seen == "clean"


def test_marks_lie_within_the_storey_they_belong_to(
    walked: tuple[Survey, Diagnosis, Sheet],
) -> None:
    for panel in walked[2].panels:
        ground = unary_union([Polygon(ring) for ring in panel.walls]
                             + [Polygon(room.ring) for room in panel.rooms])  # fmt: skip
        for sign in panel.signs:
            assert ground.buffer(0.3).contains(Point(sign.at)), (panel.title, sign.words)


def test_the_sheet_does_not_depend_on_the_order_of_the_file() -> None:
    shuffled = json.loads(demos.text())
    shuffled["entities"] = dict(reversed(shuffled["entities"].items()))
    one, other = survey(HOUSES["demo"]), survey(job.read(json.dumps(shuffled)))
    assert plain(one) == plain(other)

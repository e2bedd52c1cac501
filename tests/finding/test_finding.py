"""What Find lays on the plan and asks: outlines beside each other, answers that settle."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import msgspec
import pytest
from shapely import Point, Polygon

from wainscot import demos
from wainscot import job as jobs
from wainscot.finding import Finding, finding, shapes
from wainscot.job import Job, Place
from wainscot.plan import hypotheses
from wainscot.voids import locate
from wainscot.walk import Walk, check, survey, walk

NAMES = ("terraced_cottage", "semi_1930s", "corner_cafe")


@pytest.fixture(scope="module", params=NAMES)
def job(request: pytest.FixtureRequest) -> Job:
    return jobs.read(demos.text(request.param))


@pytest.fixture(scope="module")
def walked(job: Job) -> Walk:
    return walk(job, draws=256, why=True)


@pytest.fixture(scope="module")
def told(job: Job, walked: Walk) -> Finding:
    return finding(job, walked)


def test_every_hidden_void_lies_in_one_level_and_none_hides_another_there(job: Job) -> None:
    laid = shapes(survey(job))
    dealt = sorted(v for level in laid.levels for v in level.voids)
    assert dealt == list(range(len(laid.voids)))
    for level in laid.levels:
        if level.where == "view":
            continue  # things stand over each other against a wall: a pipe run over a cabinet
        outlines = [Polygon(laid.voids[v].outline) for v in level.voids]
        for one, other in combinations(outlines, 2):
            assert one.intersection(other).area < 0.02 * min(one.area, other.area) + 1e-6


def test_what_is_logged_at_the_spot_of_a_void_lies_in_it(job: Job) -> None:
    made = survey(job)
    for one in shapes(made).voids:
        x, y, height = one.spot
        place = Place(storey=one.storey, at=(f"{x} m", f"{y} m"), height=f"{height} m")
        assert made.graph.keys[locate(made.graph, made.plan, place)[0]] == one.id


def test_without_a_diagnosis_the_outlines_are_the_same_and_no_run_is_told(
    job: Job, walked: Walk, told: Finding
) -> None:
    bare = shapes(walked.survey)
    assert bare.runs == ()
    assert bare.voids == told.shapes.voids
    assert bare.levels == told.shapes.levels


def test_runs_begin_at_their_way_in_and_end_in_their_last_void(told: Finding) -> None:
    starts = {one.id: one.at for one in told.shapes.entries}
    outlines = {one.id: Polygon(one.outline) for one in told.shapes.voids}
    assert told.shapes.runs
    for run in told.shapes.runs:
        first = next(piece for piece in run.pieces if piece.begins)
        if run.source in starts:
            assert first.line[0] == pytest.approx(starts[run.source])
        if run.voids[-1] in outlines:
            whole = outlines[run.voids[-1]].buffer(0.3)
            assert any(whole.covers(Point(piece.line[-1])) for piece in run.pieces)


def test_every_likely_void_has_its_way_and_its_reasons(walked: Walk, told: Finding) -> None:
    likely = [one for one in walked.diagnosis.voids if one.hidden and one.soiled > 0.3]
    assert likely
    signs = {one.id for one in told.signs}
    for one in likely:
        said = told.voids[one.id]
        assert said.way is not None
        assert said.way.voids[-1] == one.id
        assert {each.inspection for each in said.weighs} <= signs
        assert said.rates
        assert all(told.rates[n].standing for n in said.rates)


def written(entity: dict[str, Any], field: str, value: object) -> None:
    """Write a fact as seen, also into a part of the entity (``floor.joists_run``)."""
    outer, _, inner = field.rpartition(".")
    if outer:
        entity[outer] = {**(entity.get(outer) or {}), inner: {"value": value, "basis": "seen"}}
    else:
        entity[inner] = {"value": value, "basis": "seen"}


def test_an_answer_makes_its_assumption_go(job: Job, told: Finding) -> None:
    """Written as the app writes it: on the entity, or on a wall that is then described."""
    asked = [one for one in told.assumed if one.choices]
    assert asked
    fields = set()
    for one in asked:
        if one.field in fields:
            continue
        fields.add(one.field)
        entities = {key: dict(value) for key, value in job.entities.items()}
        key = one.entity or "told_wall"
        room, _, side = one.side.partition("/")
        entity = entities.setdefault(key, {"kind": "wall", "room": room, "side": side})
        name = one.field.rpartition(".")[2]
        written(entity, one.field, one.choices[0].removeprefix(f"{name} "))
        changed = msgspec.structs.replace(job, entities=entities)
        assert check(changed) == (), (one, check(changed))
        left = shapes_assumed(changed)
        assert (one.entity or key, one.field) not in left, one


def shapes_assumed(job: Job) -> set[tuple[str, str]]:
    """Entity and field of what is still assumed or unknown of fire blocks."""
    from wainscot.finding.assumed import all_assumed

    made = survey(job)
    return {(one.entity, one.field) for one in all_assumed(job, made.plan, made.graph)}


def test_an_answered_question_of_framing_leaves_one_way(job: Job, told: Finding) -> None:
    before = len(hypotheses(job))
    for question in told.questions:
        assert sum(one.prior for one in question.answers) == pytest.approx(1.0)
        entities = {key: dict(value) for key, value in job.entities.items()}
        for key in question.guesses:
            del entities[key]
        for path, value in question.answers[0].sets.items():
            key, _, field = path.partition(".")
            written(entities[key], field, value)
        changed = msgspec.structs.replace(job, entities=entities)
        assert check(changed) == ()
        assert len(hypotheses(changed)) == before // len(question.answers)


def test_a_question_tells_what_each_answer_would_change() -> None:
    job = jobs.read(demos.text("semi_1930s"))
    told = finding(job, walk(job, draws=256, why=True))
    (question,) = told.questions
    weights = [one.weight for one in question.answers]
    assert sum(weights) == pytest.approx(1.0, abs=1e-6)
    for one in question.answers:
        for change in one.changes:
            # The whole is the mean of its parts, so the other answer moves it the other way.
            assert abs(change.then - change.now) >= 0.05


def test_every_opening_is_laid_where_it_is_made(walked: Walk, told: Finding) -> None:
    assert walked.openings is not None
    assert [one.id for one in told.openings] == [one.id for one in walked.openings.openings]
    storeys = {room.id: room.storey for room in walked.survey.plan.rooms}
    offered = {one.id: one for one in walked.offered}
    keys = set(walked.survey.graph.keys)
    for one in told.openings:
        way = offered[one.id]
        assert one.storey == storeys.get(way.room, one.storey)
        assert {each.void for each in one.reaches} <= keys
        assert len(one.cuts) == len(way.cuts)
        for cut in one.cuts:
            assert len(cut.outline) == 2 if cut.part == "wall" else len(cut.outline) >= 2
            assert cut.bottom <= cut.top

"""The page that a crew leader works from: one page, what must be signed first, cautions on it."""

from __future__ import annotations

import json

import jsonschema
import msgspec
import pytest

from wainscot import demos
from wainscot.cleaning import Work, clean, read_label, work_of
from wainscot.cleaning.planning import Surface
from wainscot.job import Job, read
from wainscot.papers.work_page import LINES, WIDTH, page
from wainscot.schema import text_of
from wainscot.voids import build
from wainscot.walk import Survey, survey

LABEL = read_label(demos.LABEL)


@pytest.fixture(scope="module")
def house() -> tuple[Job, Survey]:
    job = read(demos.text())
    return job, survey(job)


@pytest.fixture(scope="module")
def work(house: tuple[Job, Survey]) -> Work:
    job, seen = house
    chosen = [v for v, label in enumerate(seen.graph.labels) if label in ("B1", "K2", "C5", "F55")]
    return work_of(job, seen.plan, seen.graph, chosen, LABEL)


def test_what_must_be_signed_stands_above_containment_and_that_above_cleaning(work: Work) -> None:
    told = page("Mill Cottage", work)
    order = [told.index(word) for word in ("SIGN FIRST", "STOP live parts", "STOP combustion",
                                           "CONTAIN", "Assumed", "CLEAN", "Waste:")]  # fmt: skip
    assert order == sorted(order)


@pytest.mark.parametrize(
    "caution",
    ["Follow local code, the label and your licensed trade", "carbon monoxide alarm",
     "not even with a HEPA vacuum", "a licensed electrician", "asbestos and lead",
     "alarms nobody", "the manometer decides", "fit test"],
)  # fmt: skip
def test_the_usual_cautions_are_on_the_page(work: Work, caution: str) -> None:
    assert caution in " ".join(page("Mill Cottage", work).split())


def test_every_room_and_every_void_of_a_small_job_is_named(work: Work) -> None:
    told = page("Mill Cottage", work)
    assert all(name in told for one in work.containments for name in one.work.names)
    assert all(label in told for label in ("B1", "K2", "C5", "F55"))


def test_a_job_of_any_size_stays_on_one_page_and_says_what_it_left_out(work: Work) -> None:
    assert work.cleaning is not None
    many = [Surface(f"stud bay W{n}, Front bedroom north wall", "wood", 1.0 + n) for n in range(90)]
    from wainscot.air import moist

    big = msgspec.structs.replace(
        work, containments=work.containments * 12,
        cleaning=clean(many, LABEL, moist(313.15, 0.1), speed=2.0),
    )  # fmt: skip
    told = page("A title that goes on and on. " * 30, big).splitlines()
    assert len(told) <= LINES
    assert max(map(len, told)) <= WIDTH
    assert any("more rooms (work.json)" in line for line in told)
    # What is left out is counted, so that the litres still add up.
    assert any(line.rstrip().split("  ")[-1].startswith("and ") for line in told)
    assert "wet again every" in " ".join(told)


def test_without_a_label_the_cleaning_waits_and_the_rest_stands(house: tuple[Job, Survey]) -> None:
    job, seen = house
    waiting = work_of(job, seen.plan, seen.graph, [0])
    assert waiting.cleaning is None
    told = page("", waiting)
    assert "Waits: no label is typed in" in told
    assert "STOP live parts" in told


def test_a_label_for_other_surfaces_stops_the_cleaning_and_nothing_else(
    house: tuple[Job, Survey],
) -> None:
    job, seen = house
    other = read_label(demos.LABEL.replace('"wood", "gypsum paper", "masonry"', '"metal"'))
    v = list(seen.graph.labels).index("F55")
    stopped = work_of(job, seen.plan, seen.graph, [v], other)
    assert [one.code for one in stopped.waits] == ["label-surface"]
    assert "does not allow wood" in page("", stopped)


def test_nothing_to_open_is_no_page(house: tuple[Job, Survey]) -> None:
    job, seen = house
    assert page("Mill Cottage", work_of(job, seen.plan, seen.graph, [])) == ""


def test_the_work_follows_its_schema(work: Work) -> None:
    written = json.loads(msgspec.json.encode(work))
    jsonschema.Draft202012Validator(json.loads(text_of("work"))).validate(written)


def test_upper_floors_come_before_lower_ones(house: tuple[Job, Survey]) -> None:
    job, seen = house
    graph = build(seen.plan, seen.species)
    work = work_of(job, seen.plan, graph, range(len(graph.keys)), LABEL)
    storey = {room.name: room.storey for room in seen.plan.rooms}
    level = {one.id: one.level for one in seen.plan.storeys}
    levels = [level[storey[one.work.names[0]]] for one in work.containments]
    assert levels == sorted(levels, reverse=True)
    assert len(set(levels)) > 1

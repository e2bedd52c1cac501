"""What must hold for the answer of a real house, whatever its numbers."""

from __future__ import annotations

import random

import msgspec
import pytest

import houses
from wainscot.diagnosis import cases, diagnose
from wainscot.job import Job

QUICK = {"seed": 3, "populations": 4, "draws": 512}


def bungalow(**changed) -> Job:
    document = houses.bungalow()
    document["entities"] |= changed
    return houses.as_job(document)


def told(job: Job, **effort) -> bytes:
    return msgspec.json.encode(diagnose(job, **(QUICK | effort))[0])


@pytest.fixture(scope="module")
def usual() -> bytes:
    return told(bungalow())


def test_threads_change_nothing(usual: bytes):
    assert told(bungalow(), threads=1) == usual
    assert told(bungalow(), threads=3) == usual


def test_another_seed_is_another_answer_within_the_errors(usual: bytes):
    other = told(bungalow(), seed=4)
    assert other != usual
    one, two = (
        {void["id"]: void for void in msgspec.json.decode(each)["voids"]} for each in (usual, other)
    )
    for key, void in one.items():
        # each error is good to about a third at 512 draws (judgement), so 6 stands for 4.5
        limit = 6.0 * (void["soiled_error"] ** 2 + two[key]["soiled_error"] ** 2) ** 0.5
        assert abs(void["soiled"] - two[key]["soiled"]) <= limit


def test_the_order_of_the_file_changes_nothing(usual: bytes):
    document = houses.bungalow()
    for seed in (1, 2):
        keys = list(document["entities"])
        random.Random(seed).shuffle(keys)
        shuffled = {key: document["entities"][key] for key in keys}
        assert told(houses.as_job({**document, "entities": shuffled})) == usual


def test_a_note_changes_no_chance(usual: bytes):
    document = houses.bungalow()
    look = {**document["entities"]["look_bath"], "note": "loose tile"}
    assert told(bungalow(look_bath=look)) == usual


def test_every_void_and_every_entry_point_is_answered_once():
    job = bungalow()
    answer, draws = diagnose(job, **QUICK)
    graph = cases(job)[0].graph
    assert sorted(one.id for one in answer.voids) == sorted(graph.keys)
    drawn = [one.id for one in answer.entries if one.sort == "entry point"]
    assert drawn == ["broken_drain"]
    assert len({one.id for one in answer.entries}) == len(answer.entries)
    assert draws.ever.shape == (len(draws.weight), len(graph.keys))
    for void in answer.voids:
        assert 0.0 <= void.nest <= void.soiled + 1e-9
        assert void.heavy <= void.soiled + 1e-9
        assert void.now <= void.ever + 1e-9
        assert void.soiled <= void.ever + 1e-9
        assert void.hidden or void.band != "open"


def test_unplaced_inspections_are_told_and_change_nothing_else(usual: bytes):
    lost = {"kind": "inspection", "finds": [{"kind": "droppings", "amount": "heaps"}]}
    answer = msgspec.json.decode(told(bungalow(lost=lost)))
    assert answer["unplaced"] == ["lost"]
    before = msgspec.json.decode(usual)
    assert {**answer, "unplaced": []} == before


def test_assumptions_judged_rates_and_cautions_stand_with_the_answer(usual: bytes):
    answer = msgspec.json.decode(usual)
    assert len(answer["assumptions"]) > 3
    assert "droppings" in answer["judged"]
    assert any("local" in line for line in answer["cautions"])
    assert len(answer["module"]) == len(answer["digest"]) == 64


def test_a_job_without_anything_drawn_is_answered_in_words():
    answer, _ = diagnose(Job("job_empty", title="Empty"), **QUICK)
    assert answer.voids == ()
    assert "Nothing is drawn yet" in answer.verdict

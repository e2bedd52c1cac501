"""What nobody understands in the inspections of a job is told with its place and its cure."""

import pytest

import houses
from wainscot import signs


def faults_of(**fields):
    document = houses.bungalow()
    entity = {"kind": "inspection", "place": {"of": "bath"}, **fields}
    document["entities"]["odd"] = entity
    return signs.faults(houses.as_job(document))


@pytest.mark.parametrize(
    ("fields", "code", "path", "cure"),
    [
        ({"finds": [{"kind": "dropings"}]}, "unknown-sign", "odd.finds[0].kind", "droppings"),
        ({"finds": [{"kind": "zebra"}]}, "unknown-sign", "odd.finds[0].kind", "use one of"),
        ({"finds": [{"kind": "droppings", "amount": "meny"}]}, "unknown-amount",
         "odd.finds[0].amount", "many"),
        ({"finds": [{"kind": "opened and seen"}]}, "missing-amount", "odd.finds[0].amount",
         "clean, soiled, light, heavy, nest"),
        ({"method": "eye"}, "unknown-method", "odd.method", "use one of"),
        ({"method": "bore scope"}, "unknown-method", "odd.method", "borescope"),
        ({"finds": [{"kind": "droppings", "species": "norway rats"}]}, "unknown-species",
         "odd.finds[0].species", "norway rat"),
        ({"nights": 0, "method": "trap"}, "bad-nights", "odd.nights", "1 or more"),
        ({"finds": [{"kind": "looked and saw nothing"}, {"kind": "droppings"}]},
         "nothing-and-something", "odd.finds", "leave out"),
        ({"finds": [{"kind": "looked and saw nothing"}], "finished": False},
         "nothing-unfinished", "odd.finished", "leave out"),
        ({"finds": [{"kind": "rub mark", "same_trace_as": "look_bath"}]}, "not-the-same-trace",
         "odd.finds[0].same_trace_as", "saw this trace first"),
    ],
)  # fmt: skip
def test_a_fault_is_told_with_its_place_and_its_cure(fields, code, path, cure):
    found = faults_of(**fields)
    assert [fault.code for fault in found] == [code]
    assert found[0].path == f"entities.{path}"
    assert cure in found[0].cure


def test_all_faults_are_told_at_once():
    found = faults_of(method="elbow", nights=-1, finds=[{"kind": "dropings"}, {"kind": "rubmark"}])
    assert len(found) == 4


@pytest.mark.parametrize(
    "fields",
    [
        {"place": None},
        {"finds": [{"kind": "droppings"}]},
        {"finds": [{"kind": "sound"}], "method": "ear"},
        {"finds": [{"kind": "droppings", "same_trace_as": "look_bath"}]},
        {"finds": [{"kind": "trap night", "amount": "caught", "species": "roof rat"}],
         "method": "trap", "nights": 2},
        {"finds": [{"kind": "trap night", "amount": "caught"}], "grade": "told"},
        {"finds": [{"kind": "sound"}, {"kind": "odour"}, {"kind": "droppings"}]},
        {"finds": [{"kind": "sound"}], "share_seen": 0, "finished": False},
    ],
)  # fmt: skip
def test_what_is_only_incomplete_is_no_fault(fields):
    assert faults_of(**fields) == []


@pytest.mark.parametrize("house", [houses.bungalow, houses.semi, houses.ranch])
def test_the_shared_houses_are_sound(house):
    assert signs.faults(houses.as_job(house())) == []


@pytest.mark.parametrize(
    ("fields", "code", "path"),
    [
        ({"product_days": -1.0, "method": "nose"}, "bad-days", "odd.product_days"),
        ({"finds": [{"kind": "gnawing", "length": 0.01}]}, "no-length", "odd.finds[0].length"),
        ({"finds": [{"kind": "droppings", "ppm": 3.0}]}, "no-ppm", "odd.finds[0].ppm"),
        ({"finds": [{"kind": "odour", "ppm": -3.0}]}, "bad-ppm", "odd.finds[0].ppm"),
    ],
)
def test_a_measure_that_cannot_be_is_told(fields, code, path):
    found = faults_of(**fields)
    assert [(fault.code, fault.path) for fault in found] == [(code, f"entities.{path}")]
    assert found[0].cure

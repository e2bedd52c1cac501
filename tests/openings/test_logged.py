"""What was seen once a void lay open becomes an inspection there, and reads back as such."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
import shapely

from houses import as_job, bungalow
from wainscot import plan, signs, voids
from wainscot.access import site_of, ways_to_open
from wainscot.errors import InputError
from wainscot.job import Job
from wainscot.openings import known_of, logged
from wainscot.plan.model import Plan
from wainscot.voids.graph import Graph


@pytest.fixture(scope="module")
def house() -> tuple[Job, Plan, Graph]:
    job = as_job(bungalow())
    drawn = plan.read(job)
    return job, drawn, voids.build(drawn, "norway rat")


def bays(graph: Graph) -> list[int]:
    return [v for v, kind in enumerate(graph.kinds) if kind == "joist bay"]


def test_each_void_becomes_an_inspection_at_its_own_middle(house: tuple[Job, Plan, Graph]) -> None:
    job, drawn, graph = house
    first, second = bays(graph)[:2]
    sights = {graph.labels[first]: "heavy", graph.keys[second]: "clean"}
    after = logged(job, drawn, graph, sights, at="2026-05-20", by="crew", share=0.9)
    new = {key: one for key, one in after.entities.items() if key not in job.entities}
    assert set(new) == {f"opened_{graph.labels[v]}" for v in (first, second)}
    for v, sight in ((first, "heavy"), (second, "clean")):
        one = new[f"opened_{graph.labels[v]}"]
        assert {key: one[key] for key in one if key != "place"} == {
            "kind": "inspection", "method": "opened", "at": "2026-05-20", "by": "crew",
            "share_seen": 0.9, "finds": [{"kind": "opened and seen", "amount": sight}],
        }  # fmt: skip
        where = one["place"]
        assert shapely.Polygon(graph.polygon[v]).contains(shapely.Point(where["at"]))
        assert graph.bottom[v] < where["height"] < graph.top[v]  # the ground floor lies at 0
        # To the millimetre, no finer.
        assert [round(value, 3) for value in where["at"]] == where["at"]
    # Read back by the steps above: these voids and no others lie open, as they were seen.
    read = signs.read(after, drawn, graph, "norway rat")
    seen = known_of(after, drawn, graph, read, ways_to_open(drawn, graph, site_of(after))).seen
    assert seen == {first: "heavy", second: "clean"}


def test_what_nobody_noted_is_not_made_up_and_a_second_look_gets_its_own_id(
    house: tuple[Job, Plan, Graph],
) -> None:
    job, drawn, graph = house
    label = graph.labels[bays(graph)[0]]
    once = logged(job, drawn, graph, {label: "light"})
    assert set(once.entities[f"opened_{label}"]) == {"kind", "method", "place", "finds"}
    twice = logged(once, drawn, graph, {label: "clean"})
    assert twice.entities[f"opened_{label}"] == once.entities[f"opened_{label}"]
    (find,) = twice.entities[f"opened_{label}_2"]["finds"]
    assert find["amount"] == "clean"


def test_unknown_voids_and_words_are_told_all_at_once(house: tuple[Job, Plan, Graph]) -> None:
    job, drawn, graph = house
    label = graph.labels[bays(graph)[0]]
    with pytest.raises(InputError) as told:
        logged(job, drawn, graph, {"F999": "clean", label: "dirty", "Kitchen": "clean"})
    said = {(one.code, one.path) for one in told.value.faults}
    assert said == {("unknown-void", "opened"), ("unknown-amount", f"opened.{label}")}
    text = str(told.value)
    assert "no void is called 'F999'" in text
    assert "no void is called 'Kitchen'" in text  # a room is not hidden, so it is not opened
    assert "clean, light, heavy, nest" in text


def test_the_middle_of_a_void_is_told_to_the_millimetre(house: tuple[Job, Plan, Graph]) -> None:
    job, drawn, graph = house
    v = bays(graph)[0]
    corners = np.array([[0.0, 0.0], [1.23456, 0.0], [1.23456, 0.61752], [0.0, 0.61752]])
    odd = msgspec.structs.replace(
        graph, polygon=(*graph.polygon[:v], corners, *graph.polygon[v + 1 :])
    )
    place = logged(job, drawn, odd, {graph.labels[v]: "clean"}).entities[
        f"opened_{graph.labels[v]}"
    ]["place"]
    # Half of 1.23456 and of 0.61752: 0.61728 and 0.30876.
    assert place["at"] == [0.617, 0.309]

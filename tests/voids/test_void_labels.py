"""Labels of voids: short, given once, kept whatever is drawn, moved or taken out."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest

from houses import as_job, bungalow, ranch, semi
from wainscot import voids
from wainscot.job import Job, faults

Document = dict[str, Any]
HOUSES = {"bungalow": bungalow, "ranch": ranch, "semi": semi}


def by_key(job: Job) -> dict[str, str]:
    graph = voids.build(voids.framed(job).plan, "norway rat")
    named = zip(graph.keys, graph.labels, graph.hidden, strict=True)
    return {key: label for key, label, hidden in named if hidden}


def with_labels(document: Document, labels: dict[str, Any]) -> Job:
    entities = {**document["entities"], "labels": labels}
    return as_job({**document, "entities": entities})


EDITS: dict[str, tuple[Callable[[], Document], Callable[[dict[str, Any]], Any]]] = {
    "a window in the hall": (
        semi, lambda e: e.update(hall_window={
            "kind": "opening", "room": "hall", "side": "s1", "type": "window", "along": 0.2,
            "width": 0.6}),
    ),
    "the dining room longer": (
        semi, lambda e: e["dining_room"].update(
            polygon=[[2.7, 4.1], [5.9, 4.1], [5.9, 8.6], [2.7, 8.6]]),
    ),
    "the bath taken out": (semi, lambda e: e.pop("bath")),
    "the units shorter": (bungalow, lambda e: e["units"].update(width=1.2)),
    "closer studs in one wall": (
        bungalow, lambda e: e["partition"].update(stud_spacing="300 mm"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", EDITS)
def test_kept_labels_outlive_an_edit(name: str) -> None:
    house, edit = EDITS[name]
    job, count = voids.keep_labels(as_job(house()))
    labels = job.entities["labels"]
    assert count == len(labels["given"]) > 20
    assert faults(job) == []
    changed = copy.deepcopy(house())
    edit(changed["entities"])
    changed["entities"] = {
        key: one for key, one in changed["entities"].items() if one["kind"] != "inspection"
    }
    after = by_key(with_labels(changed, labels))
    before = by_key(job)
    shared = [key for key in before if key in after]
    assert len(shared) > 20
    assert [before[key] for key in shared] == [after[key] for key in shared]


@pytest.mark.parametrize("name", EDITS)
def test_a_kept_label_is_never_given_to_another_void(name: str) -> None:
    house, edit = EDITS[name]
    changed = copy.deepcopy(house())
    edit(changed["entities"])
    changed["entities"] = {
        key: one for key, one in changed["entities"].items() if one["kind"] != "inspection"
    }
    first, _ = voids.keep_labels(as_job(changed))
    again, _ = voids.keep_labels(with_labels(house(), first.entities["labels"]))
    given = again.entities["labels"]["given"]
    assert len(set(given.values())) == len(given)
    assert first.entities["labels"]["given"].items() <= given.items()


def test_keeping_twice_adds_nothing() -> None:
    job, _ = voids.keep_labels(as_job(semi()))
    assert voids.keep_labels(job) == (job, 0)


@pytest.mark.parametrize("name", HOUSES)
def test_framing_guesses_never_share_a_label_for_two_voids(name: str) -> None:
    seen: dict[str, str] = {}
    for one in voids.framings(as_job(HOUSES[name]())):
        graph = voids.build(one.plan, "norway rat")
        for key, label in zip(graph.keys, graph.labels, strict=True):
            assert seen.setdefault(label, key) == key


@pytest.mark.parametrize("name", HOUSES)
def test_labels_are_short(name: str) -> None:
    assert max(map(len, by_key(as_job(HOUSES[name]())).values())) <= 4


def test_neighbouring_bays_have_neighbouring_numbers() -> None:
    labels = by_key(as_job(bungalow()))
    numbers = [int(labels[f"ground/kitchen/joist-bay/{n}"][1:]) for n in range(9)]
    assert numbers == list(range(numbers[0], numbers[0] + 9))

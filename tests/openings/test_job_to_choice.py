"""What a job hands on to the choice: its framing guess, releases, the firm's rates, its wishes."""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np
import pytest

from houses import as_job, bungalow
from wainscot import plan, signs, voids
from wainscot.access import site_of, ways_to_open
from wainscot.book import read_book
from wainscot.diagnosis.draws import Draws, no_draws
from wainscot.job import Job
from wainscot.openings import (
    Choice,
    Known,
    Wanted,
    choose,
    job_openings,
    known_of,
    plan_openings,
    signed,
)
from wainscot.openings.signing import authorised, declined, released

ALONG = "ground.floor.joists_run"


def guessing() -> Job:
    """Return the bungalow with joists that may run either way, along x most likely."""
    document = bungalow()
    del document["entities"]["ground"]["floor"]["joists_run"]
    for way, weight in (("x", 0.75), ("y", 0.25)):
        document["entities"][f"joists_{way}"] = {
            "kind": "framing_guess", "question": "joists", "weight": weight,
            "choices": {ALONG: way},
        }  # fmt: skip
    document["entities"]["own"] = {
        "kind": "own_cut", "room": "kitchen", "side": "w1", "along": 1.0, "width": 0.3,
        "bottom": 0.5, "height": 0.3,
    }  # fmt: skip
    return as_job(document)


def drawn_by_hand(job: Job, guess: str) -> tuple[Draws, tuple[str, ...]]:
    """Return two draws under one guess: in one every floor bay is soiled, in the other none."""
    graph = voids.build(voids.framed(job, guess).plan, "norway rat")
    bays = np.array([kind == "joist bay" for kind in graph.kinds])
    soil = np.stack([bays, bays & False]).astype(np.uint8)
    count, ways_in = len(graph.keys), len(graph.source_keys)
    made = msgspec.structs.replace(
        no_draws(), void_ids=graph.keys, weight=np.array([0.5, 0.5]),
        case=np.zeros(2, dtype=np.int32), cases=(("norway rat", guess),), soil=soil,
        ever=soil > 0, now=soil > 1, nest=np.zeros((2, count), dtype=bool),
        entry=np.zeros((2, ways_in), dtype=np.uint8), log_evidence=np.zeros(1),
        run=np.zeros((2, 0), dtype=np.uint8), mcse=np.zeros(count),
    )  # fmt: skip
    return made, tuple(graph.labels[v] for v in np.flatnonzero(bays))


@pytest.mark.parametrize("way", ["x", "y"])
def test_the_voids_are_those_of_the_guess_that_the_draws_stand_under(
    way: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    gaps: list[float] = []

    def watched(*words: Any, gap: float, **named: Any) -> Choice:
        gaps.append(gap)
        return choose(*words, gap=gap, **named)

    monkeypatch.setattr(job_openings, "choose", watched)
    job = guessing()
    draws, bays = drawn_by_hand(job, f"joists_{way}")
    choice = plan_openings(job, draws, gap=0.03)
    assert gaps == [0.03]
    assert choice.soiled == pytest.approx(0.5 * len(bays))
    assert len(bays) != len(drawn_by_hand(job, f"joists_{'xy'.replace(way, '')}")[1])
    opened = {label for one in choice.openings for label in one.voids}
    assert opened >= set(bays) - set(choice.not_reached)
    (told,) = choice.own_cuts
    assert told.id == "own"


def test_rates_wishes_and_releases_reach_the_choice() -> None:
    job = guessing()
    draws, _ = drawn_by_hand(job, "joists_x")
    plain = plan_openings(job, draws, gap=0.0)
    book = read_book('currency = "GBP"\nhour = 60')
    priced = plan_openings(job, draws, book=book, gap=0.0)
    assert (plain.currency, priced.currency) == ("", "GBP")
    assert priced.balanced.cost == pytest.approx(60 * plain.balanced.cost)
    without = plain.balanced.openings[0]
    other = plan_openings(job, draws, wanted=Wanted(without=(without,)), gap=0.0)
    assert without in plain.balanced.openings
    assert without not in other.balanced.openings
    assert plain.balanced.gap == pytest.approx(0.0, abs=1e-6)
    keys = sorted({hold.key for one in plain.openings for hold in one.holds
                   if hold.standing == "find out"})  # fmt: skip
    assert keys
    free = plan_openings(job, draws, released=frozenset(keys[:1]), gap=0.0)
    left = {hold.key for one in free.openings for hold in one.holds}
    assert keys[0] not in left


def test_hours_of_work_that_the_firm_typed_are_counted() -> None:
    job = guessing()
    draws, _ = drawn_by_hand(job, "joists_x")
    usual = {one.id: one.hours for one in plan_openings(job, draws).openings}
    slow = read_book("[work]\nwhole_floor = 5")
    dear = {one.id: one.hours for one in plan_openings(job, draws, book=slow).openings}
    assert usual.keys() == dear.keys() == {"whole floor/bathroom", "whole floor/kitchen"}
    # 5 hours in place of the usual 2, half as much again where people work protected.
    for name, hours in usual.items():
        assert dear[name] - hours in (pytest.approx(3.0), pytest.approx(4.5))


def known(job: Job) -> Known:
    drawn = plan.read(job)
    graph = voids.build(drawn, "norway rat")
    read = signs.read(job, drawn, graph, "norway rat")
    return known_of(job, drawn, graph, read, ways_to_open(drawn, graph, site_of(job)))


def test_what_a_job_knows_is_read_from_all_of_it() -> None:
    document = bungalow()
    document["entities"] |= {
        "no": {"kind": "declined", "opening": "a/3", "by": "the owner"},
        "dear": {"kind": "kept", "name": "the floor", "place": {"of": "kitchen", "part": "floor"}},
        "own": {"kind": "own_cut", "room": "kitchen", "side": "w1", "along": 1.0, "width": 0.3,
                "bottom": 0.5, "height": 0.3},
    }  # fmt: skip
    found = known(as_job(document))
    assert found.signed.declined == {"a/3": "the owner"}
    assert (found.site.year_built, found.site.country) == (1934, "UK")
    assert [one.id for one in found.own_cuts] == ["own"]
    assert set(found.kept.values()) == {("the floor",)}
    # Droppings were logged in the house, and nothing was opened.
    assert found.found_in
    assert found.seen == {}


def test_a_word_of_the_owner_without_day_or_reason_holds_neither() -> None:
    job = Job(id="job_a")
    for one, said in (
        (declined(job, "a/1", by="owner"), {"kind": "declined", "opening": "a/1", "by": "owner"}),
        (authorised(job, ["a/1"], by="owner"),
         {"kind": "authorisation", "openings": ["a/1"], "by": "owner"}),
        (released(job, "lead/hall", by="A. Tester", evidence="swab"),
         {"kind": "release", "hold": "lead/hall", "by": "A. Tester", "evidence": "swab"}),
        (declined(job, "a/1", by="owner", at="2026-05-20", reason="tiles"),
         {"kind": "declined", "opening": "a/1", "by": "owner", "at": "2026-05-20",
          "reason": "tiles"}),
        (released(job, "lead/hall", by="A. Tester", evidence="swab", at="2026-05-20"),
         {"kind": "release", "hold": "lead/hall", "by": "A. Tester", "evidence": "swab",
          "at": "2026-05-20"}),
    ):  # fmt: skip
        assert list(one.entities.values()) == [said]
    both = declined(authorised(job, ["a/1"], by="owner", at="2026-05-20"), "a/1", by="tenant")
    word = signed(both)
    assert word.authorised == {"a/1": "owner, 2026-05-20"}
    assert word.declined == {"a/1": "tenant"}
    assert word.status("a/1", begun=False) == "declined"
    assert list(job.entities) == []

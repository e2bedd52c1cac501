"""Simulated houses are sound jobs, the same for the same seed, with a truth that fits the graph."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from wainscot import simulate, walk
from wainscot.job import Job, Place, write
from wainscot.plan import read
from wainscot.signs import KINDS
from wainscot.simulate import Truth, house, inspect, scene, spread, state_of
from wainscot.simulate.other import live, off_rates, other_house
from wainscot.simulate.truth import parts
from wainscot.voids import build, locate
from wainscot.voids.graph import Graph

SEEDS = range(12)


def lived(seed: int) -> tuple[Job, Truth]:
    empty = house(seed, storeys=1 + seed % 2, rooms=1 + seed % 4)
    truth = spread(empty, seed)
    return inspect(empty, truth, seed, visits=2), truth


def graph_of(job: Job, truth: Truth) -> Graph:
    return scene(job, truth.species, truth.guess).graph


@pytest.mark.parametrize("seed", SEEDS)
def test_a_simulated_job_has_no_fault_and_loses_no_inspection(seed: int) -> None:
    job, truth = lived(seed)
    assert walk.check(job) == ()
    assert walk.survey(job, species=truth.species).evidence.unplaced == ()


@pytest.mark.parametrize("seed", SEEDS)
def test_both_jobs_of_the_second_generator_have_no_fault(seed: int) -> None:
    pair = other_house(seed)
    assert walk.check(pair.true) == ()
    assert walk.check(live(pair, seed, visits=2).job) == ()


def test_the_same_seed_gives_the_same_house_truth_and_visits() -> None:
    (first, truth), (second, again) = lived(3), lived(3)
    assert write(first) == write(second)
    assert msgspec.json.encode(truth) == msgspec.json.encode(again)
    assert write(lived(4)[0]) != write(first)
    other, same = (live(other_house(5), 5, 2) for _ in range(2))
    assert write(other.job) == write(same.job)
    assert other.truth == same.truth


@pytest.mark.parametrize("seed", SEEDS)
def test_a_reached_void_is_joined_to_a_way_in_that_is_used(seed: int) -> None:
    """Walked void by void here, apart from the simulator's own search."""
    job, truth = lived(seed)
    graph = graph_of(job, truth)
    index = graph.index()
    beside: dict[int, set[int]] = {v: set() for v in range(len(graph.keys))}
    on = set(truth.passages)
    for key, (a, b) in zip(graph.passage_keys, graph.edges.tolist(), strict=True):
        if key in on:
            beside[a].add(b)
            beside[b].add(a)
    expected = dict.fromkeys(graph.keys, "unreached")
    for state in ("past", "now"):
        start = [
            int(graph.source_void[e])
            for e, key in enumerate(graph.source_keys)
            if truth.sources[key] == state
        ]
        waiting, found = list(start), set(start)
        while waiting:
            for v in beside[waiting.pop()] - found:
                found.add(v)
                waiting.append(v)
        for v in found:
            expected[graph.keys[v]] = state
    assert {key: one.reach for key, one in truth.voids.items()} == expected
    for key, one in truth.voids.items():
        if one.reach == "unreached":
            assert (one.soil, one.nest) == ("none", False), index[key]


def test_a_truth_survives_its_json_form() -> None:
    job, truth = lived(2)
    again = msgspec.json.decode(msgspec.json.encode(truth), type=Truth)
    assert again == truth
    graph = graph_of(job, truth)
    assert set(truth.voids) == set(graph.keys)
    assert set(truth.sources) == set(graph.source_keys)


def test_where_visits_look_first_does_not_depend_on_the_truth() -> None:
    """With two opposite truths the first look of the first visit is at the same place."""
    empty = house(6, storeys=1, rooms=3)
    graph = scene(empty).graph
    truth = spread(empty, 6)
    everywhere = msgspec.structs.replace(
        truth,
        voids={key: simulate.VoidTruth("now", "heavy", nest=True) for key in graph.keys},
    )
    nowhere = msgspec.structs.replace(
        truth, voids={key: simulate.VoidTruth() for key in graph.keys}
    )
    looks = [
        min(key for key in inspect(empty, one, 6, 1).entities if key.startswith("look_"))
        for one in (everywhere, nowhere)
    ]
    first, second = (
        inspect(empty, one, 6, 1).entities[key]["place"]
        for one, key in zip((everywhere, nowhere), looks, strict=True)
    )
    assert first == second


def test_every_look_lies_in_one_void_of_the_graph() -> None:
    job, truth = lived(1)
    plan = read(job)
    graph = build(plan, truth.species)
    for one in job.entities.values():
        place = one.get("place")
        if one["kind"] != "inspection" or one.get("method") == "ear":
            continue
        if place.get("of", "") in graph.source_keys:
            continue
        assert len(locate(graph, plan, msgspec.convert(place, Place))) == 1


def test_shares_of_states_are_those_of_the_model() -> None:
    """2,000 draws: ways in and passages come as often as their chances say, within 4.5 errors."""
    graph = scene(house(9, storeys=1, rooms=2)).graph
    rng = np.random.default_rng(1)
    states = [simulate.draw(graph, rng) for _ in range(2000)]
    run = np.mean([one.run for one in states], axis=0)
    chance = graph.prior_open * graph.prior_run
    assert np.all(np.abs(run - chance) <= 4.5 * np.sqrt(chance * (1 - chance) / 2000) + 1e-9)
    used = np.mean([one.source == 2 for one in states], axis=0)
    now = graph.source_prior[:, 2]
    assert np.all(np.abs(used - now) <= 4.5 * np.sqrt(now * (1 - now) / 2000) + 0.001)


def test_parts_of_a_house_without_a_passage_are_its_voids() -> None:
    graph = scene(house(9, storeys=1, rooms=2)).graph
    none = np.zeros(len(graph.edges), dtype=bool)
    assert len(np.unique(parts(graph, none))) == len(graph.keys)
    assert state_of(spread(house(9, 1, 2), 9), graph).reach.max() <= 2


def test_rates_that_are_off_stay_chances_within_a_factor_of_two() -> None:
    from wainscot.signs import DEFAULT

    rates = off_rates(np.random.default_rng(3))
    assert sum(rates.load) == pytest.approx(1.0)
    for name, one in rates.classes.items():
        for row, nest in zip(one.soil, one.nest, strict=True):
            assert sum(row) == pytest.approx(1.0)
            assert 0.0 <= nest <= 1.0
        before = np.array(DEFAULT.classes[name].nest)
        assert np.all(np.array(one.nest) <= 2.0 * before + 1e-12)
        assert np.all(np.array(one.nest) >= 0.5 * before - 1e-12)
    assert rates.sections["droppings"].values["false"] != DEFAULT.sections["droppings"].values[
        "false"
    ]  # fmt: skip
    assert set(rates.sections) >= set(KINDS) - {"looked and saw nothing"}

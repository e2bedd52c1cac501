"""Seal lists of drawn houses: what they close, what they say stays open, and what they never close.

A walk over sets, with nothing of the step in it, says what is reached.
"""

from __future__ import annotations

from math import inf

import msgspec
import numpy as np
import pytest

from houses import as_job, bungalow, ranch, semi
from small import graph as small_graph
from wainscot import voids
from wainscot.errors import InputError
from wainscot.sealing import (
    Signed,
    Terms,
    Way,
    seal_list,
    seal_lists,
    second_layer,
    signed_of,
    voids_named,
    ways_in,
)
from wainscot.sealing.listing import CLOSED
from wainscot.sealing.materials import for_way, materials
from wainscot.sealing.rules import ALWAYS, rule_for, rules
from wainscot.sealing.ways import BOTH, entry_grades
from wainscot.voids.graph import Graph

SPECIES = ("house mouse", "norway rat", "roof rat")
HOUSES = {"bungalow": bungalow, "semi": semi, "ranch": ranch}


def _reached(ways: list[Way], outside: int) -> set[int]:
    seen, todo = {outside}, [outside]
    while todo:
        here = todo.pop()
        for way in ways:
            for a, b in (way.ends, way.ends[::-1]):
                if a == here and b not in seen:
                    seen.add(b)
                    todo.append(b)
    return seen


@pytest.mark.parametrize("house", HOUSES)
@pytest.mark.parametrize("species", SPECIES)
@pytest.mark.parametrize("grade", BOTH)
def test_what_a_walk_enters_after_the_list_is_what_it_says_stays_open(
    house: str, species: str, grade: str
) -> None:
    plan = voids.framed(as_job(HOUSES[house]())).plan
    graph = voids.build(plan, species)
    given_up = np.array([kind in ("crawl space", "loft") for kind in graph.kinds])
    ways = ways_in(plan, graph)
    found = seal_list(graph, ways, grade, given_up)
    closed = {one.key for one in found.seals}
    left = [
        way
        for way in ways
        if grade in way.grades
        and way.key not in closed
        and not (way.sort == "edge to go along" and f"edge/{way.pool}" in closed)
    ]
    outside = len(graph.keys)
    # Nothing that can be closed leads from outside, or from a given-up void joined to it, inside.
    free = [way for way in left if all(end == outside or given_up[end] for end in way.ends)]
    start = _reached(free, outside)
    entering = [
        way
        for way in left
        if len(set(way.ends) & start) == 1
        and any(end != outside and not given_up[end] for end in way.ends)
    ]
    assert all(way.hours == inf and way.why_not for way in entering)
    told = {one.words for one in found.remaining}
    assert told == {
        f"edge: {way.pool}" if way.sort == "edge to go along" else way.words for way in entering
    }
    assert found.statement.startswith(CLOSED) == (not entering)


def _plain() -> list[Way]:
    """Outside - crawl (1) - room (2), and outside - room by a door."""
    return [
        Way("grate", "the grate", "entry point", (3, 0), "outside", BOTH, 1.0),
        Way("hole", "a hole", "passage", (0, 1), "", BOTH, 5.0),
        Way("door", "the door", "entry point", (3, 2), "outside", BOTH, 2.0),
        Way("arch", "the arch", "passage", (1, 2), "", BOTH, 9.0),
    ]


def _three() -> Graph:
    whole = small_graph()
    return msgspec.structs.replace(
        whole, keys=whole.keys[:3], words=whole.words[:3], kinds=whole.kinds[:3],
        labels=whole.labels[:3],
    )  # fmt: skip


def test_the_cheaper_side_of_a_given_up_void_is_closed_and_nothing_inside() -> None:
    graph = _three()
    lost = np.array([True, False, False])
    found = seal_list(graph, _plain(), "as built", lost)
    assert [one.key for one in found.seals] == ["door", "grate"]
    assert found.hours == pytest.approx(3.0)
    dear = [msgspec.structs.replace(one, hours=7.0) if one.key == "grate" else one
            for one in _plain()]  # fmt: skip
    other = seal_list(graph, dear, "as built", lost)
    assert [one.key for one in other.seals] == ["door", "hole"]


def test_the_second_layer_shares_no_edge_with_the_first_or_is_said_to_be_impossible() -> None:
    graph, lost = _three(), np.array([True, False, False])
    first = seal_list(graph, _plain(), "as built", lost)
    near = np.array([False, True, False])
    # The door leads in through the arch: hole and arch are the second layer round void 1.
    second = second_layer(graph, _plain(), "as built", lost, near)
    assert second.possible
    assert {one.key for one in second.seals} == {"hole", "arch"}
    assert not {one.key for one in second.seals} & {one.key for one in first.seals}
    # The door opens straight into void 2.
    room = np.array([False, False, True])
    none = second_layer(graph, _plain(), "as built", lost, room)
    assert not none.possible
    assert "the door opens straight into it" in none.statement


@pytest.mark.parametrize("house", ["bungalow", "semi"])
def test_second_layers_of_houses_are_disjoint_from_the_first(house: str) -> None:
    plan = voids.framed(as_job(HOUSES[house]())).plan
    graph = voids.build(plan, "norway rat")
    lost = voids_named(graph, ())
    ways = ways_in(plan, graph)
    possible = 0
    for v in range(len(graph.keys)):
        places = np.arange(len(graph.keys)) == v
        first = seal_list(graph, ways, "as built", lost)
        second = second_layer(graph, ways, "as built", lost, places)
        assert not {one.key for one in first.seals} & {one.key for one in second.seals}
        possible += second.possible
    assert possible > 0


def test_a_seal_never_adds_a_path() -> None:
    plan = voids.framed(as_job(semi())).plan
    graph = voids.build(plan, "house mouse")
    lost = voids_named(graph, ())
    before = ways_in(plan, graph)
    key = next(one.key for one in before if one.sort == "entry point")
    after = ways_in(plan, graph, signed=Signed(frozenset({key})))
    assert {one.key for one in after} == {one.key for one in before} - {key}
    one, other = (seal_list(graph, ways, "as built", lost) for ways in (before, after))
    assert {each.words for each in other.remaining} <= {each.words for each in one.remaining}
    assert other.hours <= one.hours


def test_a_declined_seal_stays_as_a_way_that_is_named() -> None:
    plan = voids.framed(as_job(bungalow())).plan
    graph = voids.build(plan, "norway rat")
    key = next(one.key for one in ways_in(plan, graph) if one.sort == "entry point")
    ways = ways_in(plan, graph, signed=Signed(declined=frozenset({key})))
    found = seal_list(graph, ways, "as built", voids_named(graph, ()))
    assert key not in {one.key for one in found.seals}
    assert "declined" in {one.why for one in found.remaining}
    assert "declined" in found.statement


def test_a_seal_without_photo_or_name_does_not_count() -> None:
    document = bungalow()
    key = next(k for k, one in document["entities"].items() if one["kind"] == "entry_point")
    made = {"kind": "seal", "closes": key, "material": "mortar", "by": "Crew", "photo": "p1"}
    for lacking in ("by", "photo"):
        document["entities"]["seal_1"] = {**made, lacking: " "}
        assert not signed_of(as_job(document)).made
    document["entities"]["seal_1"] = made
    assert signed_of(as_job(document)).made == {key}


def test_an_unknown_size_is_open_and_a_measured_small_one_is_not() -> None:
    plan = voids.framed(as_job(bungalow())).plan
    entry = plan.entries[0]

    def grades(**changed: object) -> tuple[str, ...]:
        return entry_grades(msgspec.structs.replace(entry, **changed), 0.013)

    assert grades(size=None, sealed=True) == BOTH
    assert grades(size=0.02, size_basis="measured") == BOTH
    assert grades(size=0.012, size_basis="measured", material="masonry") == ()
    assert grades(size=0.012, size_basis="measured", material="wood") == ("if they gnaw",)
    # Estimates of holes are rough: nearly wide enough counts as wide enough.
    assert grades(size=0.012, size_basis="estimated", material="masonry") == BOTH
    assert grades(size=0.005, size_basis="estimated", material="masonry") == ()


def test_whoever_is_smaller_needs_no_shorter_list() -> None:
    sealing = seal_lists(as_job(ranch()))
    hours = {(one.species, one.grade): one.hours for one in sealing.lists}
    for grade in BOTH:
        assert hours["house mouse", grade] >= hours["norway rat", grade]
    for species in ("house mouse", "norway rat"):
        assert hours[species, "if they gnaw"] >= hours[species, "as built"]
    assert sealing.cautions == ALWAYS


def test_flues_dryers_and_fans_are_never_closed_and_vents_are_covered() -> None:
    # Common practice and the codes named in the table; the rows are the rule.
    for name in ("dryer outlet", "boiler flue", "combustion air inlet", "extractor fan"):
        rule = rule_for("outside", (), name)
        assert rule is not None
        assert rule.does == "stays open"
        assert not rule.material
    for name in ("air brick by the door", "roof vent", "two weeps"):
        rule = rule_for("outside", (), name)
        assert rule is not None
        assert rule.material == "vent cover"
    for name in ("ventilated gap", "influence", "fanlight"):
        assert rule_for("outside", (), name) is None
    fire_stop = rule_for("", ("chimney clearance", "loft"), "the clearance round the chimney")
    assert fire_stop is not None
    assert fire_stop.material == "tested fire stop"
    # International Plumbing Code 304.4, read: openings round pipes are closed by metal collars.
    for proposed, material in (("pipe through", "metal collar"), ("gap at skirting", "")):
        rule = rule_for("", ("stud bay", "joist bay"), "the gap round the cold supply", proposed)
        assert (rule.material if rule else "") == material
    assert {one.material for one in rules() if one.material} <= set(materials())


def test_foam_and_sealant_never_count_and_no_seal_is_made_of_them() -> None:
    # State university extension guide to exclusion; a museum's exclusion guide: foam is a filler.
    table = materials()
    assert not table["foam"].counts
    assert not table["sealant"].counts
    assert not table["mesh as packing"].counts
    for house in HOUSES.values():
        plan = voids.framed(as_job(house())).plan
        for way in ways_in(plan, voids.build(plan, "house mouse")):
            if way.hours < inf:
                assert table[for_way(way)[0]].counts


def test_a_name_that_means_no_void_is_refused_with_the_kinds_there_are() -> None:
    with pytest.raises(InputError, match=r"no void is called 'attic'.*joist bay"):
        seal_lists(as_job(bungalow()), Terms(given_up=("attic",)))


@pytest.mark.parametrize("house", HOUSES)
def test_each_pair_of_voids_has_one_passage_and_teeth_make_those_that_are_too_small(
    house: str,
) -> None:
    plan = voids.framed(as_job(HOUSES[house]())).plan
    found = {}
    for species in SPECIES:
        graph = voids.build(plan, species)
        passages = [one for one in ways_in(plan, graph) if one.sort == "passage"]
        assert len({frozenset(one.ends) for one in passages}) == len(passages)
        found[species] = {one.key: one.grades for one in passages}
    # The gaps are the same for all of them; a rat passes fewer of them than a mouse.
    assert set(found["house mouse"]) == set(found["norway rat"])
    gnawed = {
        species: {key for key, grades in ways.items() if grades == ("if they gnaw",)}
        for species, ways in found.items()
    }
    assert gnawed["house mouse"] < gnawed["norway rat"]


def test_a_whole_edge_is_one_seal_that_names_the_edge() -> None:
    plan = voids.framed(as_job(bungalow())).plan
    graph = voids.build(plan, "house mouse")
    ways = ways_in(plan, graph)
    given_up = np.array([kind in ("crawl space", "loft") for kind in graph.kinds])
    found = seal_list(graph, ways, "as built", given_up)
    along = [one for one in found.seals if one.sort == "edge to go along"]
    assert along
    for seal in along:
        pool = seal.key.removeprefix("edge/")
        assert seal.words.endswith(f": {pool}")
        assert seal.places == sum(one.pool == pool and one.sort == seal.sort for one in ways)
    named = [one for one in found.seals if one.sort == "entry point"]
    assert named
    assert all(one.words in {way.words for way in ways} for one in named)

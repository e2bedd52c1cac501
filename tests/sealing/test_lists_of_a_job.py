"""Seal lists of a whole job: what was agreed, what the list does not cover, and their order."""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np
import pytest

from houses import as_job, bungalow
from wainscot import signs, voids
from wainscot.sealing import (
    Sealing,
    Terms,
    Today,
    isolation,
    order_of,
    ordered,
    seal_list,
    seal_lists,
    second_layer,
    signed_of,
    terms_of,
    voids_named,
    ways_in,
)
from wainscot.sealing.ways import BOTH

TERMS: dict[str, dict[str, Any]] = {
    "one": {"kind": "closing_terms", "given_up": ["loft"], "declined": ["a"], "warranty": "Ours",
            "warranty_until": "2027-01-01"},
    "two": {"kind": "closing_terms", "twice": ["bath"], "cannot_wait": ["kitchen"],
            "declined": ["b"], "warranty": "Theirs"},
}  # fmt: skip


def _document(**more: Any) -> dict[str, Any]:
    document = bungalow()
    document["entities"] |= more
    return document


def test_terms_of_all_papers_and_those_asked_count_together() -> None:
    job = as_job(_document(**TERMS))
    assert terms_of(job) == Terms(
        ("loft",), ("bath",), ("kitchen",), (), ("a", "b"), False,
        ("Ours (until 2027-01-01)", "Theirs"),
    )  # fmt: skip
    more = Terms(("w1",), ("w2",), ("w3",), ("w4",), ("c",), True, ("More",))
    assert terms_of(job, more) == Terms(
        ("loft", "w1"), ("bath", "w2"), ("kitchen", "w3"), ("w4",), ("a", "b", "c"), True,
        ("Ours (until 2027-01-01)", "Theirs", "More"),
    )  # fmt: skip
    shop = as_job(_document(one={"kind": "closing_terms", "shared": True}))
    assert terms_of(shop).shared
    assert terms_of(as_job(bungalow())) == Terms()


def test_seals_and_what_is_declined_are_kept_by_key() -> None:
    seal = {"kind": "seal", "closes": "x", "material": "mortar", "by": "Crew", "photo": "p"}
    job = as_job(_document(s=seal, t={**seal, "closes": "y", "photo": ""}))
    found = signed_of(job, ["a", "b"])
    assert (found.made, found.declined) == (frozenset({"x"}), frozenset({"a", "b"}))
    assert signed_of(job).declined == frozenset()


ASKED = Terms(given_up=("loft",), twice=("under bath",), cannot_wait=("bathroom",),
              nests=("under base cabinets",))  # fmt: skip
USED = frozenset({"broken_drain"})


@pytest.fixture(scope="module")
def found() -> Sealing:
    return seal_lists(as_job(bungalow()), ASKED, today=Today(0.9, "norway rat", USED))


def test_each_list_is_that_of_its_animal_and_grade_and_so_is_the_second_layer(
    found: Sealing,
) -> None:
    plan = voids.framed(as_job(bungalow())).plan
    n = 0
    for species in ("house mouse", "norway rat"):
        graph = voids.build(plan, species)
        ways = ways_in(plan, graph)
        lost, twice = voids_named(graph, ["loft"]), voids_named(graph, ["under bath"])
        for grade in BOTH:
            assert found.lists[n] == seal_list(graph, ways, grade, lost)
            assert found.second[n] == second_layer(graph, ways, grade, lost, twice)
            n += 1
        if species == "norway rat":
            nests, places = (
                voids_named(graph, ["under base cabinets"]),
                voids_named(graph, ["bathroom"]),
            )
            assert found.isolation == isolation(graph, ways, nests, places)
            assert found.given_up == tuple(graph.words[v] for v in np.flatnonzero(lost))
    assert n == len(found.lists) == len(found.second) == 4
    assert found.given_up
    assert any(one.startswith("0.15 h: ") for one in found.judged)
    assert len(found.judged) == 5


def test_without_terms_there_is_no_second_layer_and_nothing_is_parted() -> None:
    plain = seal_lists(as_job(bungalow()))
    assert (plain.second, plain.isolation, plain.given_up) == ((), None, ())
    assert plain.order


@pytest.mark.parametrize(
    ("species", "list_of"),
    [("norway rat", 2), ("roof rat", 2), ("house mouse", 0), ("", 0), ("house mouse and x", 0)],
)
def test_the_order_is_of_the_list_as_built_of_the_likeliest_animal(
    found: Sealing, species: str, list_of: int
) -> None:
    for today in (Today(0.9, species, USED), Today(0.01, species), Today(0.9, species, quiet=True)):
        urgent: frozenset[str] = frozenset()
        if found.isolation is not None and found.isolation.way_out:
            urgent = frozenset(one.key for one in found.isolation.seals)
        assert ordered(found, today).order == order_of(
            found.lists[list_of], used=today.used, in_use=today.in_use, cannot_wait=urgent,
            trap_confirmed_quiet=today.quiet,
        )  # fmt: skip
        shut_in = msgspec.structs.replace(
            found, isolation=msgspec.structs.replace(found.isolation, way_out=False)
        )
        assert not [one for one in ordered(shut_in, today).order if one.phase == "now"]
    assert found.order == ordered(found, Today(0.9, "norway rat", USED)).order


def test_what_a_list_does_not_cover_is_printed(found: Sealing) -> None:
    plan = voids.framed(as_job(bungalow())).plan
    graph = voids.build(plan, "norway rat")
    looked = signs.read(as_job(bungalow()), plan, graph, "norway rat").looked
    assert looked is not None
    unseen = sum(bool(graph.hidden[v]) and looked[v] == 0 for v in range(len(graph.keys)))
    assert found.limits == (
        "what lies beyond the neighbour's side is theirs: a way there can be opened again "
        "without our knowing",
        "parts of the building are not drawn yet: nothing is said of them",
        f"nobody has looked into {unseen} of {sum(graph.hidden)} hidden voids",
    )
    assert 0 < unseen < sum(graph.hidden)


def test_a_hole_that_is_said_to_be_sealed_is_told_by_name() -> None:
    document = bungalow()
    document["entities"]["broken_drain"]["sealed"] = True
    told = seal_lists(as_job(document)).limits
    assert told[-1] == (
        "Broken drain under the sink units is said to be sealed; it counts once somebody has "
        "signed for it with a photo"
    )
    assert not [one for one in seal_lists(as_job(bungalow())).limits if "said to be sealed" in one]

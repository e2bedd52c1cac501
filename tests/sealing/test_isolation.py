"""A nest is parted from what cannot wait, and the answer says whether it keeps a way out."""

from __future__ import annotations

from math import inf

import msgspec
import numpy as np

from sealing.test_lists import _plain, _three
from wainscot.sealing import isolation


def test_a_nest_is_parted_and_keeps_its_way_out() -> None:
    graph = _three()
    nest, room = np.array([True, False, False]), np.array([False, False, True])
    found = isolation(graph, _plain(), nest, room)
    # By hand: crawl (0) - hole 5 h - void (1) - arch 9 h - room (2); the hole is the cheaper.
    assert [one.key for one in found.seals] == ["hole"]
    assert found.possible
    assert found.way_out


def test_seals_that_would_shut_them_in_are_told_so() -> None:
    graph = _three()
    nest, room = np.array([False, True, False]), np.array([True, False, True])
    found = isolation(graph, _plain(), nest, room)
    assert {one.key for one in found.seals} == {"hole", "arch"}
    assert not found.way_out
    assert "SHUT THE ANIMALS IN" in found.statement
    assert not isolation(graph, _plain(), room, room).possible


def test_a_nest_that_nobody_knows_or_that_lies_in_the_place_cannot_be_parted_and_why_is_said() -> (
    None
):
    graph = _three()
    nowhere, room = np.zeros(3, dtype=bool), np.array([False, False, True])
    unknown = isolation(graph, _plain(), nowhere, room)
    assert not unknown.possible
    assert "nobody knows where the nest is" in unknown.statement
    same = isolation(graph, _plain(), room, room)
    assert not same.possible
    assert "take it out first" in same.statement


def test_an_arch_that_nothing_closes_cannot_part_them_and_why_is_said() -> None:
    graph = _three()
    ways = [msgspec.structs.replace(one, hours=inf, why_not="an arch") if one.key == "arch" else one
            for one in _plain()]  # fmt: skip
    void, room = np.array([False, True, False]), np.array([False, False, True])
    found = isolation(graph, ways, void, room)
    assert not found.possible
    assert found.seals == ()
    assert "nothing closes" in found.statement

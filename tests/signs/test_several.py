"""A finished look over several voids that found something in one, against counting.

Exactly: no void showed more than the amount found and at least one showed as much, that is
prod A - prod B over the voids looked at, with the soil of each summed out given load and reach.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from small import exact, find_parts, finds, look, tiny
from wainscot.signs import DEFAULT, KINDS, likelihood, weigh
from wainscot.signs.kind import Look

HOUSE = tiny()
EYE = ("eye and lamp", "seen")
SHARE = 0.6


def less_and_no_more(amount):
    """Chance that a void shows less than an amount of droppings, and no more than it: [L, 3, 6]."""
    kind = KINDS["droppings"]
    sensitivity = DEFAULT.sensitivity("eye and lamp", "droppings")
    circumstances = Look("norway rat", sensitivity=sensitivity, share=SHARE)
    shown = kind.shown(circumstances, DEFAULT.kind("droppings"))
    less = likelihood.of_nothing(shown, kind, EYE, DEFAULT)
    for each in kind.columns:
        told = likelihood.of_find(shown, kind, finds("droppings", each), EYE, "norway rat", DEFAULT)
        if each == amount:
            return less, less + told
        less = less + told
    raise AssertionError(amount)


def others_quiet(members):
    """Rows of the house where the look found nothing of any other kind."""
    placed = [look("i", members, finds("droppings"), share_seen=SHARE)]
    said = weigh(placed, HOUSE, "norway rat")
    quiet = np.ones((len(HOUSE.keys), len(DEFAULT.load), 3, 6))
    for one in said.statements:
        if one.zone < 0:
            for v, factor in zip(one.voids, one.factor, strict=True):
                quiet[v] *= factor
    prior = weigh([], HOUSE, "norway rat")
    return prior.detail[prior.row_of] * quiet


def counted(members, amount):
    """Exact chances of soil, of being reached and of each load, by counting."""
    less, no_more = less_and_no_more(amount)
    rows = others_quiet(members)
    count, ways = len(HOUSE.keys), len(HOUSE.source_keys)
    states = np.array(list(product(range(3), repeat=ways)))
    source = np.prod(HOUSE.source_prior[np.arange(ways), states], axis=1)
    on = np.array(list(product((0, 1), repeat=len(HOUSE.edges))))
    passage = np.prod(np.where(on, HOUSE.prior_open, 1.0 - HOUSE.prior_open), axis=1)
    total, soiled, ever = 0.0, np.zeros(count), np.zeros(count)
    load = np.zeros(len(DEFAULT.load))
    for weight, part in zip(passage, find_parts(HOUSE), strict=True):
        same = part[:, None] == part[HOUSE.source_void][None, :]
        reach = np.max(np.where(same[None], states[:, None, :], 0), axis=2)
        for level, chance in enumerate(DEFAULT.load):
            base = chance * weight * source
            likely, dirty = 0.0, np.zeros((count, len(states)))
            for sign, table in ((1.0, no_more), (-1.0, less)):
                cells = rows[np.arange(count)[None], level, reach]
                for v in members:
                    cells[:, v] = cells[:, v] * table[level][reach[:, v]]
                sums = cells.sum(axis=2)
                whole = np.prod(sums, axis=1)
                likely = likely + sign * whole
                dirty += sign * (whole[:, None] * cells[..., 1:].sum(axis=2) / sums).T
            total += (base * likely).sum()
            load[level] += (base * likely).sum()
            ever += (base * likely) @ (reach > 0)
            soiled += dirty @ base
    return soiled / total, ever / total, load / total


@pytest.mark.parametrize("amount", ["few", "many", "heaps"])
@pytest.mark.parametrize("members", [(1, 2), (2, 3), (1, 2, 3)])
def test_a_look_over_several_voids_is_weighed_nearly_as_counting_does(members, amount):
    soiled, ever, _ = counted(members, amount)
    placed = [look("i", members, finds("droppings", amount), share_seen=SHARE)]
    said = exact(HOUSE, weigh(placed, HOUSE, "norway rat"))
    assert np.abs(said["soiled"] - soiled).max() < 0.10
    assert np.abs(said["ever"] - ever).max() < 0.05


def test_a_find_at_a_known_spot_says_that_the_rest_of_the_look_was_clean_of_it():
    one = [look("i", (1, 2), finds("droppings", "many"), nearest=1, share_seen=1.0)]
    evidence = weigh(one, HOUSE, "norway rat")
    prior = weigh([], HOUSE, "norway rat")
    here, there = (evidence.detail[evidence.row_of[v]][1, 2] for v in (1, 2))
    before = prior.detail[prior.row_of[2]][1, 2]
    assert here[0] / here.sum() < 0.05
    assert there[0] / there.sum() > before[0] / before.sum()


@pytest.mark.parametrize("members", [(1, 2), (1, 2, 3)])
def test_more_found_over_several_voids_never_speaks_for_a_cleaner_house(members):
    soiled = [
        exact(
            HOUSE,
            weigh(
                [look("i", members, finds("droppings", amount), share_seen=SHARE)],
                HOUSE,
                "norway rat",
            ),
        )["soiled"].sum()
        for amount in ("few", "many", "heaps")
    ]
    assert soiled == sorted(soiled)

"""A find that lies in one of several voids, against counting the exact mixture.

Exactly: the find lies in each of the n voids with chance 1 / n.  The project splits this into a
noisy-or (how they are reached) and a weight on each void's soil, which is an approximation.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from small import exact, find_parts, finds, look, tiny
from wainscot.signs import DEFAULT, KINDS, likelihood, weigh
from wainscot.signs.kind import Look

HOUSE = tiny()


def mixture(members, amount):
    """Exact chances of soil and of being reached, by counting."""
    kind, rates = KINDS["droppings"], DEFAULT.kind("droppings")
    sensitivity = DEFAULT.sensitivity("eye and lamp", "droppings")
    shown = kind.shown(Look("norway rat", sensitivity=sensitivity), rates)
    told = likelihood.of_find(
        shown, kind, finds("droppings", amount), ("eye and lamp", "seen"), "norway rat", DEFAULT
    )
    prior = weigh([], HOUSE, "norway rat")
    rows = prior.detail[prior.row_of]
    count, ways = len(HOUSE.keys), len(HOUSE.source_keys)
    states = np.array(list(product(range(3), repeat=ways)))
    source = np.prod(HOUSE.source_prior[np.arange(ways), states], axis=1)
    on = np.array(list(product((0, 1), repeat=len(HOUSE.edges))))
    passage = np.prod(np.where(on, HOUSE.prior_open, 1.0 - HOUSE.prior_open), axis=1)
    total, soiled, ever = 0.0, np.zeros(count), np.zeros(count)
    for weight, part in zip(passage, find_parts(HOUSE), strict=True):
        same = part[:, None] == part[HOUSE.source_void][None, :]
        reach = np.max(np.where(same[None], states[:, None, :], 0), axis=2)
        for level, load in enumerate(prior.load_prior):
            cells = rows[np.arange(count)[None], level, reach]
            here = {i: cells[:, i] * told[level][reach[:, i]] for i in members}
            any_soil = {i: here[i].sum(axis=1) for i in members}
            likely = sum(any_soil.values()) / len(members)
            base = load * weight * source
            total += (base * likely).sum()
            ever += (base * likely) @ (reach > 0)
            for v in range(count):
                dirty = 1.0 - cells[:, v, 0]
                terms = [
                    here[i][:, 1:].sum(axis=1) if i == v else any_soil[i] * dirty for i in members
                ]
                soiled[v] += (base * sum(terms)).sum() / len(members)
    return soiled / total, ever / total


@pytest.mark.parametrize("amount", ["few", "many", "heaps"])
@pytest.mark.parametrize("members", [(1, 2), (2, 3), (1, 2, 3)])
def test_a_find_in_one_of_several_voids_is_weighed_nearly_as_counting_does(members, amount):
    soiled, ever = mixture(members, amount)
    placed = [look("i", members, finds("droppings", amount), finished=False)]
    said = exact(HOUSE, weigh(placed, HOUSE, "norway rat"))
    assert np.abs(said["soiled"] - soiled).max() < 0.10
    assert np.abs(said["ever"] - ever).max() < 0.05

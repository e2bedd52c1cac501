"""An opening that somebody laid down is in every set: against every subset that holds it."""

from __future__ import annotations

from itertools import combinations

import msgspec
import numpy as np
import pytest

from wainscot.errors import InputError
from wainscot.openings import Problem, solve


def problem(rng: np.random.Generator) -> Problem:
    """Return seven openings that share three charges and reach eight voids."""
    count, charges, voids = 7, 3, 8
    links = [(o, int(rng.integers(charges))) for o in range(count)]
    pairs = [(o, int(v)) for o in range(count) for v in rng.choice(voids, 3, replace=False)]
    return Problem(
        ids=tuple(f"o{o}" for o in range(count)),
        cost=rng.uniform(0.5, 4.0, count),
        charges=tuple(f"c{c}" for c in range(charges)),
        charge=rng.uniform(0.5, 3.0, charges),
        link_opening=np.array([o for o, _ in links], dtype=np.int32),
        link_charge=np.array([c for _, c in links], dtype=np.int32),
        pair_opening=np.array([o for o, _ in pairs], dtype=np.int32),
        pair_void=np.array([v for _, v in pairs], dtype=np.int32),
        share=np.ones(len(pairs)),
        loss=rng.uniform(0.0, 3.0, voids),
    )


def test_the_best_set_that_holds_it_is_found() -> None:
    rng = np.random.default_rng(3)
    for case in range(12):
        one = problem(rng)
        given = np.zeros(7, dtype=bool)
        given[[case % 7, (case + 3) % 7]] = True
        found = solve(one, 1.0, given=given, gap=0.0)
        held = set(np.flatnonzero(given).tolist())
        assert held <= set(found.chosen)
        best = min(
            one.price(some) + one.loss_left(some)
            for size in range(8)
            for some in combinations(range(7), size)
            if held <= set(some)
        )
        assert found.objective == pytest.approx(best, abs=1e-6)


def test_one_that_saves_nothing_is_in_it_all_the_same_and_too_dear_is_told() -> None:
    one = problem(np.random.default_rng(4))
    given = np.zeros(7, dtype=bool)
    given[2] = True
    assert solve(one, 0.0, given=given).chosen == (2,)
    with pytest.raises(InputError) as caught:
        solve(one, 0.0, given=given, most=0.1)
    assert caught.value.faults[0].code == "too-dear"


def test_where_nothing_is_soiled_what_was_laid_down_is_all_there_is() -> None:
    one = problem(np.random.default_rng(4))
    one = msgspec.structs.replace(
        one, loss=np.zeros(8), charges=(), charge=np.zeros(0),
        link_opening=np.zeros(0, dtype=np.int32), link_charge=np.zeros(0, dtype=np.int32),
    )  # fmt: skip
    given = np.zeros(7, dtype=bool)
    given[2] = True
    found = solve(one, given=given)
    assert (found.chosen, found.loss_left) == ((2,), 0.0)
    assert found.cost == found.objective == pytest.approx(one.cost[2])

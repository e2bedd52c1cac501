"""The openings that are chosen against every subset of them, on small cases with shared charges.

The reference enumerates all sets and adds up money with plain Python loops; it shares nothing with
the programme but the numbers of the case.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from wainscot.errors import InputError
from wainscot.openings import Problem, solve


def case(seed: int, openings: int = 9, voids: int = 12, charges: int = 4) -> Problem:
    """Return a small case: each opening reaches a few voids and shares two charges."""
    rng = np.random.default_rng(seed)
    pairs = [
        (o, int(v), float(rng.choice([0.25, 0.5, 0.8, 1.0])))
        for o in range(openings)
        for v in rng.choice(voids, size=int(rng.integers(1, 5)), replace=False)
    ]
    links = [
        (o, int(c)) for o in range(openings) for c in rng.choice(charges, size=2, replace=False)
    ]
    return Problem(
        ids=tuple(f"o{o}" for o in range(openings)),
        cost=rng.uniform(0.5, 3.0, openings),
        charges=tuple(f"c{c}" for c in range(charges)),
        charge=rng.uniform(0.5, 5.0, charges),
        link_opening=np.array([o for o, _ in links], dtype=np.int32),
        link_charge=np.array([c for _, c in links], dtype=np.int32),
        pair_opening=np.array([o for o, _, _ in pairs], dtype=np.int32),
        pair_void=np.array([v for _, v, _ in pairs], dtype=np.int32),
        share=np.array([share for _, _, share in pairs]),
        loss=rng.exponential(3.0, voids),
    )


def price(one: Problem, chosen: tuple[int, ...]) -> float:
    """Return cost with every charge once."""
    needed = set()
    for o, c in zip(one.link_opening, one.link_charge, strict=True):
        if o in chosen:
            needed.add(int(c))
    return sum(float(one.cost[o]) for o in chosen) + sum(float(one.charge[c]) for c in needed)


def left(one: Problem, chosen: tuple[int, ...]) -> list[float]:
    """Return the share of each void that stays shut."""
    share = [1.0] * len(one.loss)
    for o, v, s in zip(one.pair_opening, one.pair_void, one.share, strict=True):
        if o in chosen:
            share[v] = min(share[v], 1.0 - float(s))
    return share


def best(
    one: Problem,
    weight: float,
    most: float = float("inf"),
    must: tuple[int, ...] = (),
    banned: tuple[int, ...] = (),
) -> float:
    """Return the least cost plus weighted loss over every set that may be had."""
    found = float("inf")
    allowed = [o for o in range(len(one.ids)) if o not in banned]
    for size in range(len(allowed) + 1):
        for chosen in combinations(allowed, size):
            cost = price(one, chosen)
            shut = left(one, chosen)
            reached = all(_enough(one, v, shut[v], banned) for v in must)
            if cost <= most + 1e-9 and reached:
                loss = sum(float(one.loss[v]) * shut[v] for v in range(len(shut)))
                found = min(found, cost + weight * loss)
    return found


def _enough(one: Problem, void: int, shut: float, banned: tuple[int, ...]) -> bool:
    """Return whether a void is reached to 0.8, or as far as anything reaches it."""
    most = max(
        (
            float(s)
            for o, v, s in zip(one.pair_opening, one.pair_void, one.share, strict=True)
            if v == void and o not in banned
        ),
        default=0.0,
    )
    return 1.0 - shut >= min(0.8, most) - 1e-9


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("weight", [0.3, 1.0, 4.0])
def test_the_optimum_is_the_best_of_all_subsets(seed: int, weight: float) -> None:
    one = case(seed)
    found = solve(one, weight, gap=0.0)
    assert found.objective == pytest.approx(best(one, weight), abs=1e-6)
    assert found.cost == pytest.approx(price(one, found.chosen))
    assert found.gap <= 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_the_optimum_within_a_budget(seed: int) -> None:
    one = case(seed)
    free = solve(one, 4.0, gap=0.0)
    most = 0.6 * free.cost
    tight = solve(one, 4.0, most=most, gap=0.0)
    assert tight.cost <= most + 1e-6
    assert tight.objective == pytest.approx(best(one, 4.0, most=most), abs=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_the_optimum_with_voids_that_must_be_opened_and_openings_that_may_not(seed: int) -> None:
    one = case(seed)
    must = tuple(sorted({int(v) for v in one.pair_void[:2]}))
    banned = (int(one.pair_opening[-1]),)
    mask = np.zeros(len(one.ids), dtype=bool)
    mask[list(banned)] = True
    found = solve(one, 1.0, must=must, forbidden=mask, gap=0.0)
    assert not set(found.chosen) & set(banned)
    assert found.objective == pytest.approx(best(one, 1.0, must=must, banned=banned), abs=1e-6)


def test_a_void_that_nothing_reaches_and_a_budget_that_is_too_small_are_refused() -> None:
    one = case(1)
    mask = np.ones(len(one.ids), dtype=bool)
    with pytest.raises(InputError, match="unreachable-void"):
        solve(one, must=(int(one.pair_void[0]),), forbidden=mask)
    with pytest.raises(InputError, match="too-dear"):
        solve(one, must=(int(one.pair_void[0]),), most=0.01)


def test_the_gap_that_is_told_holds() -> None:
    one = case(3)
    rough = solve(one, 4.0, gap=0.2)
    true = best(one, 4.0)
    assert rough.objective * (1.0 - rough.gap) <= true + 1e-6
    assert rough.gap <= 0.2 + 1e-9

"""Stated errors and the word "settled": neither strict nor lax.

Outside: ``exact.frontier``.  The rivals are two ways in at odds of three to one for the same far
sign, far enough apart that draws seldom change from one to the other.  All seeds are fixed.
"""

from __future__ import annotations

import functools
from types import SimpleNamespace
from typing import Any

import msgspec
import numpy as np
from exact import Exact, frontier
from problems import ladder, make, sign

from wainscot.diagnosis.kernel import Marginals, Population, Problem, combine, run
from wainscot.diagnosis.populations import agree
from wainscot.diagnosis.posterior import Sample, source_chances, void_chances

SEEDS = range(40)


def rivals() -> Problem:
    """A sign in the middle of a line of 13 voids, a way in at either end, odds three to one."""
    voids, middle = 13, 6
    ways = [(v, v + 1, 0.25) for v in range(voids - 1)]
    sources = [(0, (0.94, 0.03, 0.03), True), (voids - 1, (0.98, 0.01, 0.01), True)]
    return make(voids, ways, sources, {middle: sign(1e-9, 0.6, 0.7)})


@functools.cache
def exact() -> Exact:
    return frontier(rivals())


@functools.cache
def found(seed: int) -> Marginals:
    return combine(run(rivals(), seed=seed))


def test_the_rivals_are_at_three_to_one() -> None:
    used = 1.0 - exact().source[:, 0]
    assert 2.5 < used[0] / used[1] < 3.5
    assert used.sum() < 1.1


def test_stated_errors_hold_for_rivals() -> None:
    scores = []
    for seed in SEEDS:
        off = found(seed).source[:, 0] - exact().source[:, 0]
        scores.append(off[0] / found(seed).source_se[0, 0])
    # Root mean square 1 for a right error; its own spread over 40 seeds is 0.11.
    assert 0.55 < float(np.sqrt(np.mean(np.square(scores)))) < 1.45
    assert np.abs(scores).max() < 4.5


def sample_of(populations: list[Population]) -> Sample:
    """The same draws as the one case of a diagnosis; only what chances need is filled in."""
    problem = rivals()
    case: Any = SimpleNamespace(prior=1.0, evidence=SimpleNamespace(linear_void=np.zeros(0, int)))
    merged: Any = SimpleNamespace(apart=lambda states: states, group=np.arange(2))
    voids = np.arange(len(problem.row_of), dtype=np.int32)
    return Sample(case, problem, merged, tuple(populations), voids, voids[:2])


def test_the_errors_of_a_diagnosis_hold_too() -> None:
    scores = []
    for seed in SEEDS[:20]:
        sample = sample_of(run(rivals(), seed=seed))
        used, ever = source_chances((sample,))[0], void_chances((sample,))["ever"]
        assert used.settled.all()
        assert ever.settled.all()
        scores.append((used.mean[0] - 1.0 + exact().source[0, 0]) / used.error[0])
        scores.append((ever.mean[3] - exact().ever[3]) / ever.error[3])
    # The two of one seed go together, so that 20 scores count: a spread of 0.16.
    assert 0.5 < float(np.sqrt(np.mean(np.square(scores)))) < 1.6
    torn_apart = void_chances((sample_of(torn((0, 1, 4, 5))),))["ever"]
    assert not torn_apart.settled.all()


def test_rivals_at_three_to_one_are_seldom_called_not_settled() -> None:
    assert np.mean([found(seed).settled for seed in SEEDS]) >= 0.95


def torn(which: tuple[int, ...]) -> list[Population]:
    """Eight populations, the given ones of which have missed one of the two ways in."""
    one_sided = msgspec.structs.replace(
        rivals(), source_prior=np.array([[0.94, 0.03, 0.03], [1, 0, 0]])
    )
    both, missed = (run(problem, seed=3) for problem in (rivals(), one_sided))
    level = [p.log_evidence for p in both]
    return [
        msgspec.structs.replace(missed[k], log_evidence=level[k]) if k in which else both[k]
        for k in range(8)
    ]


def test_populations_that_missed_a_way_in_are_not_settled() -> None:
    # Even where each half has the same share of those that missed it.
    for which in ((0, 2, 4, 6), (0, 1, 4, 5), (0, 1, 2)):
        assert not combine(torn(which)).settled


def test_a_large_error_is_never_settled() -> None:
    same = np.array([0.5, 0.5, 0.5])
    assert agree(same, same, np.array([0.01, 0.04, 0.05])).tolist() == [True, True, False]
    assert agree(same, same + 0.1, np.array([0.001, 0.02, 0.03])).tolist() == [False, True, True]
    assert not agree(same, same + 0.2, np.full(3, 0.03)).any()


def test_few_draws_are_not_settled_and_many_are() -> None:
    problem = ladder(6, rows={7: sign(1e-6, 0.6, 0.7)}, named_at=(0, 3))
    few = combine(run(problem, seed=1, populations=4, chains=8, length=1))
    many = combine(run(problem, seed=1))
    assert not few.settled
    assert many.settled

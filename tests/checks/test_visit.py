"""The checks of one visit, against the worth of whole sets of looks worked out another way.

The oracle goes through every pair of outcomes and every void in plain loops and takes the better
action each time (the definition of expected value of sample information, Raiffa and Schlaifer
1961, from memory).
"""

from __future__ import annotations

from itertools import product

import msgspec
import numpy as np
import pytest
from scene import access, draws, evidence, graph

from wainscot.book import read_book
from wainscot.checks import lines, rank
from wainscot.checks.outcomes import Outcomes
from wainscot.checks.stakes import loss_if_left
from wainscot.signs import DEFAULT

BOOK = read_book('currency = "GBP"\nhour = 60')
ROW = [access(f"hole/F{i}", i) for i in range(1, 7)]


def worth_of(tables: list[np.ndarray], loss: np.ndarray, opening: float) -> float:
    """Fall of the expected loss after all these looks, in loops."""
    count, voids = loss.shape
    before = sum(min(loss[:, v].mean(), opening) for v in range(voids))
    after = 0.0
    for shown in product(*(range(len(table)) for table in tables)):
        chance = np.ones(count) / count
        for table, o in zip(tables, shown, strict=True):
            chance = chance * table[o]
        for v in range(voids):
            after += min(float(chance @ loss[:, v]), opening * float(chance.sum()))
    return before - after


def test_the_second_check_is_the_best_beside_the_first() -> None:
    pooled = draws(count=512)
    result = rank(pooled, graph(), evidence(), tuple(ROW), BOOK)
    outcomes = Outcomes(pooled, np.zeros(7), DEFAULT)
    voids = np.arange(1, 7)
    loss = loss_if_left(pooled, voids, BOOK)
    opening = BOOK.open_bay.value * BOOK.hour.value
    by_id = {one.id: one for one in ROW}
    first = by_id[result.visit[0].access]
    seen = outcomes.after(first)
    alone = worth_of([outcomes.of([first])[0]], loss, opening)
    together = {
        one.id: worth_of([outcomes.of([first])[0], seen.of([one])[0]], loss, opening) - 15.0
        for one in ROW if one.id != first.id
    }  # fmt: skip
    best = max(together, key=lambda key: together[key])
    assert result.visit[0].access == result.checks[0].access
    assert result.visit[1].access == best
    # Voids that hardly matter are left out of the ranking: at most one part in a thousand.
    assert result.visit[1].saves == pytest.approx(together[best] - alone, rel=0.02)


def test_what_the_first_look_settles_is_not_looked_at_again() -> None:
    twins = (access("lamp/F2", 2), access("board/F2", 2, 3), access("other/F2", 2, 4))
    result = rank(draws(), graph(), evidence(), twins, BOOK)
    alone = {check.access: check.net for check in result.checks}
    for step in result.visit[1:]:
        assert step.saves < alone[step.access] + 1e-9


def test_two_looks_that_show_the_same_are_not_both_done() -> None:
    seen_whole = tuple(access(f"{name}/F1", 1, share=1.0, minutes=m)
                       for name, m in (("hole", 10.0), ("camera", 20.0)))  # fmt: skip
    more = (*seen_whole, access("hole/F1+F2", 1, 2, share=1.0, minutes=12.0))
    result = rank(draws(), graph(), evidence(), more, BOOK)
    assert len(result.visit) == 1


def test_each_step_of_a_visit_pays_and_there_are_at_most_three() -> None:
    result = rank(draws(), graph(), evidence(), tuple(ROW), BOOK)
    assert 1 <= len(result.visit) <= 3
    assert len({step.access for step in result.visit}) == len(result.visit)
    assert all(step.saves > 0 for step in result.visit)
    dear = tuple(msgspec.structs.replace(one, minutes=6000.0) for one in ROW)
    assert rank(draws(), graph(), evidence(), dear, BOOK).visit == ()


def test_the_visit_comes_first_in_words_with_the_reason_for_its_order() -> None:
    result = rank(draws(), graph(), evidence(), tuple(ROW), BOOK)
    told = lines(result)
    by_id = {check.access: check for check in result.checks}
    for place, step in enumerate(result.visit, 1):
        assert told[place - 1] == f"{place}. {by_id[step.access].words}."
    assert any("In this order they save" in line for line in told)

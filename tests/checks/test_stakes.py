"""Leaving out what hardly matters changes the answer by no more than is said."""

from __future__ import annotations

import numpy as np
import pytest
from scene import access, draws, evidence, graph

from wainscot.book import read_book
from wainscot.checks import rank, stakes
from wainscot.checks.outcomes import Outcomes
from wainscot.checks.stakes import LEFT_OUT, cheapest, loss_if_left, short_list
from wainscot.checks.worth import expected_value
from wainscot.signs import DEFAULT

BOOK = read_book('currency = "GBP"\nhour = 60')
BAYS = 20
ROW = [access(f"hole/F{i:02d}", i) for i in range(1, BAYS + 1)]


def values(voids: np.ndarray) -> np.ndarray:
    drawn = draws(bays=BAYS)
    chance = Outcomes(drawn, np.zeros(BAYS + 1), DEFAULT).of(ROW)
    loss = loss_if_left(drawn, voids, BOOK)
    return expected_value(loss, np.full(len(voids), 240.0), chance, drawn.weight).value


def test_voids_left_out_hold_at_most_a_thousandth_of_perfect_knowledge() -> None:
    drawn, row = draws(bays=BAYS), graph(BAYS)
    at = stakes.stakes(drawn, row, BOOK)
    loss = loss_if_left(drawn, at.hidden, BOOK)
    knowing = np.minimum(loss.mean(axis=0), 240.0) - np.minimum(loss, 240.0).mean(axis=0)
    assert 0 < len(at.matter) < len(at.hidden)
    off = values(at.hidden) - values(at.matter)
    assert (off >= -1e-9).all()
    assert off.max() <= LEFT_OUT * knowing.sum() + 1e-9


def test_chances_and_what_is_better_opened_are_plain_means() -> None:
    drawn, row = draws(bays=BAYS), graph(BAYS)
    at = stakes.stakes(drawn, row, BOOK)
    dirty = (drawn.soil[:, 1:] > 0) | (drawn.nest[:, 1:] > 0)
    assert at.soiled == pytest.approx(dirty.mean(axis=0))
    loss = loss_if_left(drawn, at.hidden, BOOK)
    assert (at.better_opened == (loss.mean(axis=0) > 240.0)).all()


def test_callbacks_cost_what_the_book_says() -> None:
    # 60 an hour: light 16 h, heavy 32 h, nest 40 h by the shipped rates.
    drawn = draws(bays=BAYS)
    loss = loss_if_left(drawn, np.arange(1, BAYS + 1), BOOK)
    soil, nest = drawn.soil[:, 1:], drawn.nest[:, 1:]
    assert set(loss[(soil == 1) & (nest == 0)]) == {960.0}
    assert set(loss[(soil == 2) & (nest == 0)]) == {1920.0}
    assert set(loss[nest == 1]) == {2400.0}
    assert set(loss[(soil == 0) & (nest == 0)]) == {0.0}


def test_of_looks_that_show_the_same_the_cheapest_stays() -> None:
    dear = access("dear/F01", 1, minutes=50.0)
    kept, others = cheapest([dear, *ROW], BOOK)
    assert [one.id for one in kept] == [one.id for one in ROW]
    assert others["hole/F01"] == ("dear/F01",)


def test_the_short_list_keeps_the_best_in_front(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = rank(draws(bays=BAYS), graph(BAYS), evidence(bays=BAYS), tuple(ROW), BOOK)
    monkeypatch.setattr(stakes, "MOST_WEIGHED", 8)
    short = rank(draws(bays=BAYS), graph(BAYS), evidence(bays=BAYS), tuple(ROW), BOOK)
    assert len(short.checks) == 8
    assert [one.access for one in short.checks[:3]] == [one.access for one in whole.checks[:3]]
    assert short.checks[0].worth == pytest.approx(whole.checks[0].worth)


def test_few_looks_are_all_weighed() -> None:
    drawn, row = draws(bays=BAYS), graph(BAYS)
    outcomes = Outcomes(drawn, np.zeros(BAYS + 1), DEFAULT)
    assert short_list(ROW, outcomes, stakes.stakes(drawn, row, BOOK), BOOK) == ROW

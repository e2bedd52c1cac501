"""Learning from closed jobs: known rates come back though bays were opened on suspicion."""

from __future__ import annotations

import tomllib
from functools import cache
from math import log

import msgspec
import numpy as np
import pytest
from scipy import stats
from study.suspected import naive_counts, suspected

from wainscot.book import read_book
from wainscot.job import Job
from wainscot.learning import Learning, learn, lines, may_learn, overlay, when_open
from wainscot.signs import DEFAULT, Rates
from wainscot.signs.learnt import chance_of, factor_of, learnable, moved, with_factors

TRUE = 0.35
"""How often the borescope of these jobs notices droppings; judged 0.70. [1]"""
WORDS = "borescope: notices droppings"
JOBS, FIRST_SEED = 10, 4000
NAME = next(one for one in learnable() if one.words == WORDS)


def true_rates() -> Rates:
    own = DEFAULT.methods["borescope"]
    worse = msgspec.structs.replace(own, shows={**own.shows, "droppings": TRUE})
    return msgspec.structs.replace(DEFAULT, methods={**DEFAULT.methods, "borescope": worse})


@cache
def jobs() -> tuple[Job, ...]:
    return tuple(suspected(FIRST_SEED + n, true_rates()) for n in range(JOBS))


@cache
def found() -> Learning:
    return learn(jobs(), draws=256, names=(NAME,), steps=3)


def test_a_count_over_the_bays_that_were_opened_is_wrong() -> None:
    seen, could = naive_counts(jobs(), DEFAULT)
    told = stats.binomtest(seen, round(could)).proportion_ci(method="wilson")
    assert told.low > TRUE


def test_learning_covers_the_true_rate_and_leaves_the_judged_one() -> None:
    (one,) = found().rates
    assert one.after[0] <= TRUE <= one.after[1]
    assert one.after[1] < one.judged == pytest.approx(0.7)
    assert abs(one.learnt - TRUE) < abs(one.judged - TRUE)


def test_doubt_only_shrinks_and_a_sure_judgement_hardly_moves() -> None:
    (one,) = found().rates
    wide, narrow = (log(b / (1 - b)) - log(a / (1 - a)) for a, b in (one.before, one.after))
    assert narrow < wide
    assert one.told == pytest.approx(1.0 - (narrow / wide) ** 2)
    # The surer the judgement, the less it moves.
    (sure,) = learn(jobs()[:3], draws=256, names=(NAME,), spread=0.05, steps=1).rates
    assert sure.learnt == pytest.approx(sure.judged, abs=0.03)


def test_without_jobs_the_rates_stay_and_nothing_is_told() -> None:
    assert learn(()).rates == ()
    assert "may_learn" in lines(learn(()))[0]


def test_the_overlay_is_read_by_the_book_and_moves_the_rate_to_what_was_learnt() -> None:
    own = 'currency = "USD"\n\n[signs]\n"ear: notices sound" = 3\n\n[work]\nkick_board = 0.5\n'
    text = overlay(found(), own)
    book = read_book(text)
    assert tomllib.loads(text)["work"] == {"kick_board": 0.5}
    assert set(book.signs) == {WORDS}
    (one,) = found().rates
    moved_rates = with_factors(DEFAULT, book.signs)
    assert chance_of(moved_rates, NAME) == pytest.approx(one.learnt, rel=1e-3)


@pytest.mark.parametrize("shift", [-2.0, -0.3, 0.0, 0.4])
def test_a_shift_moves_the_log_odds_by_just_so_much(shift: float) -> None:
    p = chance_of(moved(DEFAULT, {NAME: shift}), NAME)
    assert log(p / (1 - p)) == pytest.approx(log(0.7 / 0.3) + shift, abs=1e-9)
    assert factor_of(DEFAULT, NAME, shift) == pytest.approx(p / 0.7)


def test_consent_is_no_unless_it_is_said_and_later_looks_are_left_out() -> None:
    job = jobs()[0]
    assert not may_learn(job)
    terms = {"kind": "closing_terms", "may_learn": True}
    agreed = msgspec.structs.replace(job, entities={**job.entities, "terms": terms})
    assert may_learn(agreed)
    late = {"kind": "inspection", "method": "eye and lamp", "at": "2027-01-01T10:00+00:00"}
    after = msgspec.structs.replace(job, entities={**job.entities, "late": late})
    kept = when_open(after)
    assert kept is not None
    assert kept.entities == job.entities
    assert when_open(Job(id="empty")) is None


def test_jobs_of_the_same_rates_leave_them_within_their_doubt() -> None:
    same = tuple(suspected(FIRST_SEED + 500 + n, DEFAULT) for n in range(4))
    (one,) = learn(same, draws=256, names=(NAME,), steps=1).rates
    assert one.after[0] < one.judged < one.after[1]
    assert np.isfinite(one.factor)

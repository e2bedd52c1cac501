"""From a small house to what to check next, through every step."""

from __future__ import annotations

import pytest

from houses import as_job, bungalow
from wainscot import plan, voids
from wainscot.access import Access, questions_of, site_of, ways
from wainscot.book import read_book
from wainscot.checks import Result, lines, next_checks, pool
from wainscot.diagnosis import diagnose
from wainscot.diagnosis.draws import Draws

BOOK = read_book('currency = "GBP"\nhour = 60')
JOB = as_job(bungalow())


@pytest.fixture(scope="module")
def draws() -> Draws:
    return diagnose(JOB, seed=4, draws=2048)[1]


@pytest.fixture(scope="module")
def result(draws: Draws) -> Result:
    return next_checks(JOB, draws, book=BOOK)


def test_the_pooled_draws_keep_every_chance_of_soil(draws: Draws) -> None:
    pooled = pool(draws)
    before = draws.weight @ ((draws.soil > 0) | draws.nest)
    after = pooled.weight @ ((pooled.soil > 0) | (pooled.nest > 0))
    assert after == pytest.approx(before, abs=0.01)


def test_a_check_is_offered_and_pays(result: Result) -> None:
    assert result.checks[0].pays
    assert lines(result)[0].startswith("1. ")


def test_nothing_that_drills_is_offered_without_finding_out_first(result: Result) -> None:
    drills = [check for check in result.checks if check.access.startswith(("hole", "floorboard"))]
    assert drills
    assert all(check.words.startswith("First find out") for check in drills)


def test_what_a_named_person_released_is_not_asked_again(draws: Draws, result: Result) -> None:
    keys = frozenset(hold.key for check in result.checks for hold in check.holds)
    free = next_checks(JOB, draws, book=BOOK, released=keys)
    assert not any(check.first for check in free.checks)
    assert not any(line.startswith(("FIND OUT", "STOP")) for line in lines(free))
    # A caution goes with the work, whatever was signed.
    standing = {hold.standing for check in free.checks for hold in check.holds}
    assert standing == {"care"}


def test_dearer_openings_make_no_check_worth_less_than_nothing(draws: Draws) -> None:
    dear = next_checks(JOB, draws, book=read_book("open_bay = 100"))
    assert all(check.worth >= -1e-6 for check in dear.checks)


def test_a_firm_that_never_gets_called_back_needs_no_checks(draws: Draws) -> None:
    calm = "callback_light = 0.001\ncallback_heavy = 0.001\ncallback_nest = 0.001"
    found = next_checks(JOB, draws, book=read_book(calm))
    assert found.time_to_open
    assert found.open_now == ()


def test_every_way_reaches_voids_of_this_house(draws: Draws) -> None:
    drawn = plan.read(JOB)
    graph = voids.build(drawn, "norway rat")
    offered: tuple[Access, ...] = ways(drawn, graph, site_of(JOB), questions_of(JOB))
    assert {one.act for one in offered} >= {"board off", "floorboard up", "hole in wall"}
    assert all(reach.void < len(graph.keys) for one in offered for reach in one.reaches)
    assert len({one.id for one in offered}) == len(offered)

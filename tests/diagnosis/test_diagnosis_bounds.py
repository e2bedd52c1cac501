"""Both sides of each bound in what goes with an answer: reasons, cautions, what is left out."""

from __future__ import annotations

from types import SimpleNamespace

import msgspec
import numpy as np
import pytest

from small import evidence_of, finds, graph, look
from wainscot.diagnosis.cautions import CONFINED, OLD_PAINT, cautions
from wainscot.diagnosis.contributions import Leaver, LeftOut, contributions, log_odds
from wainscot.diagnosis.mapping import source_map, void_map
from wainscot.diagnosis.pareto import effective, smooth
from wainscot.diagnosis.reasons import Reasons
from wainscot.job import Job


def _entry(*, used=0.8, sort="entry point"):
    return SimpleNamespace(sort=sort, used=used, void="f1", words="the broken drain")


def _said(v, soiled=0.5, *, placed=(), entry=None):
    return Reasons(graph(), evidence_of(list(placed)), (entry or _entry(),)).of(v, soiled)


# By hand, along the passages of ``small``: sink (1) and f2 (3) border f1 (2); from f2 to w1 (4)
# and bath (6) it is one more; the kitchen (0) borders the sink.
@pytest.mark.parametrize(
    ("void", "words"),
    [(2, "at"), (1, "next to"), (3, "next to"), (4, "2 steps from"), (0, "2 steps from")],
)
def test_the_steps_from_the_likeliest_drawn_way_in_are_told(void, words):
    assert _said(void) == f"{words} the broken drain"


def test_no_steps_are_told_where_they_say_nothing():
    assert _said(3, 0.10) == "next to the broken drain"
    assert _said(3, 0.099) == "nobody looked"
    assert _said(3, entry=_entry(used=0.33)) == "next to the broken drain"
    assert _said(3, entry=_entry(used=0.329)) == "nobody looked"
    assert _said(3, entry=_entry(sort="unknown")) == "nobody looked"
    cut_off = graph(edges=np.array([(0, 1)], dtype=np.int32), prior_open=np.array([0.3]),
                    prior_run=np.ones(1))  # fmt: skip
    assert Reasons(cut_off, evidence_of([]), (_entry(),)).of(5, 0.9) == "nobody looked"


def test_what_was_seen_goes_before_what_was_found_and_that_before_a_look():
    opened = look("o", (3,), finds("opened and seen", "heavy"), method="opened")
    found = look("f", (3,), finds("droppings", "many"), share_seen=0.6)
    assert _said(3, placed=(opened, found)) == "seen: heavy"
    assert _said(3, placed=(found,)) == "found: droppings (many); next to the broken drain"
    evidence = evidence_of([])
    for share, words in ((0.91, "looked, nothing found"), (0.9, "part looked at")):
        looked = np.where(np.arange(7) == 3, share, 0.0)
        partly = Reasons(graph(), msgspec.structs.replace(evidence, looked=looked), (_entry(),))
        assert partly.of(3, 0.5) == f"{words}; next to the broken drain"
        assert partly.of(1, 0.5) == "next to the broken drain"
    nobody = Reasons(graph(), msgspec.structs.replace(evidence, looked=None), ())
    assert nobody.looked.tolist() == [0.0] * 7
    assert nobody.of(3, 0.5) == "nobody looked"
    reasons = Reasons(graph(), evidence_of([opened]), ())
    assert (reasons.seen_at(3), reasons.seen_at(2)) == ("heavy", "")


@pytest.mark.parametrize(("year", "old"), [(1999, True), (2000, False)])
def test_lead_and_asbestos_are_cautioned_of_before_2000(year, old):
    job = Job("j", entities={"s": {"kind": "settings", "year_built": year}})
    assert (OLD_PAINT in cautions(job)) == old


@pytest.mark.parametrize(("largest", "enters"), [(2.0, True), (1.99, False)])
def test_confined_spaces_are_cautioned_of_where_a_person_may_go_in(largest, enters):
    assert (CONFINED in cautions(Job("j"), largest)) == enters


# What each inspection does.


def test_log_odds_stay_within_one_in_a_thousand():
    assert log_odds(np.array([0.5, 0.0, 1.0])) == pytest.approx([0.0, -np.log(999), np.log(999)])


def _leaver(**left):
    """A leaver whose answers are given: with all of it the odds are even in both voids."""
    statements = [SimpleNamespace(key=key) for key in left]
    sample = SimpleNamespace(case=SimpleNamespace(evidence=SimpleNamespace(statements=statements)))
    return SimpleNamespace(
        samples=(sample,), with_all=np.array([0.5, 0.5]),
        leave=lambda key: LeftOut(key, f"said {key}", np.array(left[key][0]), left[key][1]),
    )  # fmt: skip


def test_inspections_come_by_what_they_change_and_small_changes_are_left_out():
    odds = [1 / (1 + np.exp(0.2)), 1 / (1 + np.exp(-0.09))]
    found = contributions(_leaver(a=(odds, True), b=([0.9, 0.5], True)), ("v", "w"), None)
    assert [(one.inspection, one.void, one.words) for one in found] == [
        ("b", "v", "said b"), ("a", "v", "said a")]  # fmt: skip
    # Without ``b`` it is nine to one: with it the odds fell by ln 9; with ``a`` they rose by 0.2.
    assert [one.log_odds for one in found] == pytest.approx([-np.log(9), 0.2])
    assert all(one.reliable for one in found)


def test_the_most_telling_doubtful_ones_are_run_anew_and_the_others_marked():
    asked = []

    def rerun(key):
        asked.append(key)
        return np.array([0.2, 0.5])

    left = {"a": ([0.9, 0.5], False), "b": ([0.7, 0.5], False), "c": ([0.6, 0.5], True)}
    found = contributions(_leaver(**left), ("v", "w"), rerun, most=1)
    assert asked == ["a"]
    told = {one.inspection: (one.log_odds, one.reliable) for one in found}
    assert told["a"] == (pytest.approx(np.log(4)), True)
    assert told["b"][1] is False
    assert told["c"][1] is True
    alone = contributions(_leaver(**left), ("v", "w"), None, most=1)
    assert {one.inspection: one.reliable for one in alone} == {"a": False, "b": False, "c": True}


@pytest.mark.parametrize(("near", "visited"), [(20, True), (19, False)])
def test_states_that_might_matter_were_visited_if_twenty_draws_come_near_them(near, visited):
    ratio = np.full(100, -40.0)
    ratio[:near] = 0.0
    # Of no weight, so that only the count of draws near the greatest ratio decides.
    held = SimpleNamespace(base=np.where(ratio < 0, np.log(0.01), -60.0))
    assert Leaver._visited(held, ratio, 0.0) == visited


def test_or_if_what_no_draw_visits_is_less_than_one_in_twenty_of_the_weight():
    # Every draw at a third of the greatest ratio: 3 / (K / 3) reaches 0.05 at K = 180.
    for count, visited in ((181, True), (179, False)):
        held = SimpleNamespace(base=np.full(count, -np.log(count)))
        assert Leaver._visited(held, np.full(count, -np.log(3.0)), 0.0) == visited


def test_few_distinct_ratios_are_trusted_if_a_hundred_draws_hold_them():
    assert effective(np.zeros(50)) == pytest.approx(50)
    assert effective(np.array([0.0, -800.0])) == pytest.approx(1)
    for many, k in ((900, 0.0), (99, np.inf)):
        logs = np.full(1000, -30.0)
        logs[:many] = 0.0
        assert smooth(logs)[1] == k


def test_a_void_is_matched_by_its_spot_height_and_sort():
    house = graph()
    renamed = tuple(f"other_{key}" for key in house.keys)
    other = msgspec.structs.replace(house, keys=renamed)
    assert void_map(house, other).tolist() == list(range(7))
    lower = msgspec.structs.replace(other, bottom=other.bottom - 1, top=other.top - 1)
    assert void_map(house, lower).tolist() == [-1] * 7
    shown = msgspec.structs.replace(other, hidden=~other.hidden)
    assert void_map(house, shown).tolist() == [-1] * 7
    none = graph(source_keys=("x", "drain", *house.source_keys[2:]))
    assert source_map(house, none).tolist() == [1, -1, 2, 3, 4]

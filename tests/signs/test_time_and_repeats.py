"""Looks that repeat each other, traces seen twice, and looks of long ago."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from scipy.special import logit

from small import evidence_of, exact, finds, graph, look, usual
from wainscot.signs import DEFAULT, without
from wainscot.signs.ageing import aged_cells, days_between, latest
from wainscot.signs.assemble import combined


def soiled(placed, void=1):
    return exact(graph(), evidence_of(placed))["soiled"][void]


def strength(placed, void=1):
    """How much a log moves the odds of soil, in nats."""
    return logit(soiled(placed, void)) - logit(soiled([], void))


def test_a_second_look_by_the_same_eye_adds_less_than_one_by_another_method():
    first = look("a", (1,), share_seen=0.5)
    same = look("b", (1,), share_seen=0.5)
    other = look("b", (1,), share_seen=0.5, method="borescope")
    alone = {key: strength([one]) for key, one in
             (("first", first), ("same", same), ("other", other))}  # fmt: skip
    gain = strength([first, same]) - alone["first"]
    assert alone["first"] < gain < 0.0
    assert gain > 0.6 * alone["same"]
    assert strength([first, other]) - alone["first"] < 0.8 * alone["other"]


@pytest.mark.parametrize("method", sorted(DEFAULT.methods))
def test_every_method_says_how_far_it_repeats_itself(method):
    assert 0.0 < DEFAULT.methods[method].repeat < 1.0


def test_two_finds_by_the_same_eye_are_not_two_full_finds():
    one = look("a", (1,), finds("droppings", "few"), share_seen=0.5, finished=False)
    two = look("b", (1,), finds("droppings", "few"), share_seen=0.5, finished=False)
    factors = [evidence_of(each).detail[-1] for each in ([], [one], [one, two])]
    ratio = [each[1, 1, 2] / each[1, 0, 0] for each in factors[1:]]
    prior = evidence_of([one]).statements[0].factor[0]
    full = prior[1, 1, 2] / prior[1, 0, 0]
    assert ratio[1] / ratio[0] == pytest.approx(full ** (1.0 - 0.7))


def test_a_glance_in_vain_does_not_weaken_a_full_look_in_vain():
    full = look("a", (1,), method="opened", share_seen=1.0)
    peep = look("b", (1,), method="opened", share_seen=0.1)
    assert soiled([full, peep]) <= soiled([full]) + 1e-12


def test_a_look_in_vain_beside_a_find_does_not_take_the_find_s_strength():
    found = look("a", (1,), finds("droppings", "many"), share_seen=0.9)
    peep = look("b", (1,), share_seen=0.1)
    assert soiled([found, peep]) > 0.98 * soiled([found])


def test_independent_and_wholly_repeated_looks_are_the_two_ends():
    pieces = [np.array([1.0, 0.6]), np.array([1.0, 0.5])]
    assert combined(pieces, 1, 0.0, found=False).tolist() == [1.0, 0.3]
    assert combined(pieces, 1, 1.0, found=False).tolist() == [1.0, 0.5]
    finds_ = [np.array([0.01, 0.2]), np.array([0.01, 0.4])]
    assert np.allclose(combined(finds_, 1, 1.0, found=True), [1e-4, 4e-3])


def test_listening_twice_at_one_place_adds_less_than_twice():
    def log(count):
        return [
            look(f"s{n}", (), finds("sound"), zone=(4, 5, 6), method="ear", finished=False)
            for n in range(count)
        ]

    one, two = (strength(log(n), 5) for n in (1, 2))
    assert one < two < 2.0 * one
    silent = [look(f"s{n}", (), zone=(4, 5, 6), method="ear") for n in range(2)]
    assert 2.0 * strength(silent[:1], 5) < strength(silent, 5) < strength(silent[:1], 5) < 0.0


def test_leaving_out_one_of_two_repeats_gives_the_other_its_full_weight():
    placed = [look("a", (1,), share_seen=0.5), look("b", (1,), share_seen=0.6)]
    left = exact(graph(), without(evidence_of(placed), "b"))
    never = exact(graph(), evidence_of(placed[:1]))
    assert np.allclose(left["soiled"], never["soiled"], atol=1e-12)


def test_a_told_trace_that_was_then_seen_and_measured_is_one_trace_with_all_that_is_known():
    told = look("t", (1,), finds("droppings", "many", species="norway rat"), grade="told",
                finished=False)  # fmt: skip
    again = finds("droppings", "", same_trace_as="t", length=0.021)
    seen = look("u", (1,), again, share_seen=0.6, finished=False)
    whole = look("u", (1,), finds("droppings", "many", species="norway rat", length=0.021),
                 share_seen=0.6, finished=False)  # fmt: skip
    assert np.allclose(evidence_of([told, seen]).detail, evidence_of([whole]).detail)


def test_leaving_out_the_sighting_that_counts_lets_the_other_one_count():
    told = look("t", (1,), finds("droppings", "many"), grade="told", finished=False)
    seen = look("u", (1,), finds("droppings", "many", same_trace_as="t"), finished=False)
    left = without(evidence_of([told, seen]), "u")
    assert np.allclose(left.detail, evidence_of([told]).detail)


def test_a_chain_of_repeats_is_one_trace_and_a_circle_does_no_harm():
    first = finds("rub mark", "clear", same_trace_as="c")
    chain = [
        look("a", (1,), first, finished=False),
        look("b", (1,), finds("rub mark", "clear", same_trace_as="a"), finished=False),
        look("c", (1,), finds("rub mark", "clear", same_trace_as="b"), finished=False),
    ]
    alone = [look("a", (1,), finds("rub mark", "clear"), finished=False)]
    assert np.allclose(evidence_of(chain).detail, evidence_of(alone).detail)


def test_a_look_in_vain_of_long_ago_says_less_about_today():
    def now(first, last):
        placed = [look("a", (1,), share_seen=0.9, at=first), look("z", (5,), at=last)]
        return exact(graph(), evidence_of(placed))["now"][1]

    today, month, years = (
        now("2026-05-01", last) for last in ("2026-05-01", "2026-06-01", "2029-05-01")
    )
    assert today < month < years


def test_a_fresh_trace_of_long_ago_does_not_say_that_they_are_still_here():
    def share(last):
        placed = [
            look("a", (1,), finds("droppings", "many", freshness="fresh"), at="2026-05-01"),
            look("z", (5,), at=last),
        ]
        answer = exact(graph(), evidence_of(placed))
        return answer["now"][1] / answer["ever"][1]

    assert share("2026-05-02") > share("2027-05-02") + 0.1


def test_age_only_mixes_likelihoods_that_stand_there():
    rng = np.random.default_rng(3)
    factor = rng.random((3, 3, 6))
    old = aged_cells(factor, 400.0, DEFAULT)
    low, high = factor.min(), factor.max()
    assert (old >= low).all()
    assert (old <= high).all()
    assert np.array_equal(old[:, 0], factor[:, 0])
    assert aged_cells(factor, 0.0, DEFAULT) is factor
    forever = aged_cells(factor, 1e9, DEFAULT)
    assert np.allclose(forever[:, 2], factor[:, 0, :1]), "a look of ages ago says nothing of now"


def test_days_are_told_from_times_with_and_without_zones():
    assert days_between("2026-05-01", "2026-05-03T00:00:00+00:00") == 2.0
    assert days_between("2026-05-03", "2026-05-01") == 0.0
    assert days_between("", "2026-05-01") == days_between("soon", "2026-05-01") == 0.0
    assert latest(["2026-05-01", "", "2026-05-01T10:00:00+02:00"]) == "2026-05-01T10:00:00+02:00"
    assert latest([]) == ""


def test_leaving_out_the_last_look_does_not_make_the_others_younger():
    old = look("a", (1,), finds("droppings", "many", freshness="fresh"), at="2026-01-01")
    last = look("z", (5,), at="2026-12-01")
    with_last = evidence_of([old, last]).statements[0].factor
    left = without(evidence_of([old, last]), "z").statements[0].factor
    assert np.array_equal(with_last, left)
    assert not np.array_equal(left, evidence_of([old]).statements[0].factor)


def test_evidence_is_plain_data():
    evidence = evidence_of([look("a", (1,), finds("droppings", "few"))])
    text = msgspec.to_builtins(evidence, builtin_types=(np.ndarray,))
    assert text["statements"][0]["key"] == "a"


def test_with_one_look_less_the_others_say_what_they_say_in_a_log_of_their_own():
    smelt = look("g1", (0,), finds("odour", "strong"), method="nose")
    twice = finds("droppings", "few", same_trace_as="i5")
    log = [*usual(), smelt, look("g2", (6,), twice, method="borescope")]
    whole = evidence_of(log)
    for one in log:
        left, anew = without(whole, one.key), evidence_of([each for each in log if each != one])
        named = [
            [
                (each.key, each.words, each.zone, each.source, each.reading)
                for each in say.statements
            ]
            for say in (left, anew)
        ]
        assert named[0] == named[1]
        for field in ("detail", "row_of", "zone_offsets", "zone_void", "zone_hit", "zone_heard",
                      "source_factor", "linear_offsets", "linear_log_likelihood"):  # fmt: skip
            assert np.array_equal(getattr(left, field), getattr(anew, field)), (one.key, field)

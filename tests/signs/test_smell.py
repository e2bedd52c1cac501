"""Smells: the balance of the air, words and meters, caps, carcasses, products."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import dblquad
from scipy.stats import norm

from small import evidence_of, finds, graph, look
from wainscot.signs import DEFAULT, smell, weigh
from wainscot.signs.smell import GRID, emission_by_cell, meter_curve, transfer, word_curve

TABLE = DEFAULT.kind("smell")
EVERYONE = np.arange(7, dtype=np.int32)


def smelt(amount="", key="s", **fields):
    ppm = fields.pop("ppm", None)
    return look(key, (0,), finds("odour", amount, ppm=ppm), method="nose", **fields)


def own_loss(place):
    changes = np.where(place.hidden, TABLE.number("hidden_changes"), TABLE.number("room_changes"))
    return changes * place.volume


def test_two_voids_share_air_as_the_closed_form_says():
    # Steady balance by hand: void sends e, exchanges g with the room; both lose to outside.
    # c_void = (e + g c_room) / (k_v + g);  k_r c_room = g (c_void - c_room).
    whole = graph()
    place = graph(
        edges=np.array([[0, 1]], dtype=np.int32), aperture=np.array([[0.05, 0.07]]),
        prior_open=np.array([0.8]), prior_run=np.ones(1), gnawable=np.zeros(1, bool),
        passage_keys=("p",), passage_rule=("gap",), passage_words=("gap",),
        passage_at=np.zeros((1, 3)),
    )  # fmt: skip
    loss = own_loss(whole)
    g = TABLE.number("passage_speed") * np.pi / 4 * 0.06**2 * 0.8
    room = g / (loss[0] * (loss[1] + g) + g * loss[1])
    share = transfer(place, np.array([0], dtype=np.int32))[0]
    assert share[1] == pytest.approx(room, rel=1e-9)
    assert share[2] == 0.0


def test_all_that_is_sent_leaves_the_house():
    place = graph()
    share = transfer(place, EVERYONE)
    assert np.allclose(own_loss(place) @ share, 1.0)


def test_air_flows_alike_both_ways_and_an_own_void_is_smelt_most():
    share = transfer(graph(), EVERYONE)
    assert np.allclose(share, share.T)
    assert (share.argmax(axis=1) == EVERYONE).all()
    assert share.min() >= 0.0


def test_the_balance_is_that_of_a_dense_solve():
    place = graph(aperture=np.linspace(0.01, 0.12, 16).reshape(8, 2))
    flow = TABLE.number("passage_speed") * np.pi / 4 * place.aperture.mean(axis=1) ** 2
    flow = flow * place.prior_open
    balance = np.diag(own_loss(place))
    for (a, b), g in zip(place.edges.tolist(), flow, strict=True):
        balance[[a, b], [a, b]] += g
        balance[a, b] -= g
        balance[b, a] -= g
    assert np.allclose(transfer(place, EVERYONE), np.linalg.inv(balance))


@pytest.mark.parametrize("x", [0.05, 1.0, 4.0, 40.0])
def test_averaging_over_buildings_and_noses_is_done_right(x):
    # Quadrature over both log-normal factors by scipy; the word follows from what it gives.
    scale, nose = TABLE.number("scale_spread"), TABLE.number("nose_spread")
    drains = TABLE.numbers("false")
    edge = np.log(TABLE.numbers("cuts")[2] / x)
    below, _ = dblquad(
        lambda b, a: norm.pdf(a) * norm.pdf(b),
        -8.0, 8.0, -8.0, lambda a: min(8.0, max(-8.0, (edge - scale * a) / nose)),
        epsabs=1e-6,
    )  # fmt: skip
    strong = 1.0 - below * (1.0 - drains[2])
    at = np.interp(np.log(x), GRID, word_curve("strong", 0.0, 0.0, "seen"))
    assert at == pytest.approx(np.log(strong), abs=0.02)


def test_a_higher_reading_of_a_meter_speaks_for_more():
    at = [GRID[int(np.argmax(meter_curve(ppm, 0.0, 0.0, "seen")))] for ppm in (2.0, 10.0, 50.0)]
    assert at[0] < at[1] < at[2]
    assert np.exp(at[1]) == pytest.approx(10.0 / TABLE.number("meter_threshold"), rel=0.15)
    nothing = meter_curve(0.0, 0.0, 0.0, "seen")
    assert (np.diff(nothing) <= 1e-12).all()


def test_one_room_s_smells_never_weigh_more_than_three_nats_either_way():
    log = [smelt("strong", f"s{n}") for n in range(6)]
    log += [look("m", (0,), finds("odour", ppm=80.0), method="meter")]
    curve = evidence_of(log).linear_log_likelihood
    assert curve.shape == (1, len(GRID))
    assert curve[0, 0] == 0.0
    assert curve.max() == TABLE.number("most") == 3.0
    none = evidence_of([smelt("none", f"s{n}") for n in range(9)]).linear_log_likelihood
    assert none.min() == -3.0


def test_a_second_sniff_adds_less_than_the_first():
    one, two = (
        evidence_of([smelt("clear", f"s{n}") for n in range(count)]).linear_log_likelihood[0]
        for count in (1, 2)
    )
    at = np.searchsorted(GRID, 0.0)
    assert one[at] < two[at] < 1.5 * one[at]


def test_told_smells_weigh_at_most_three_to_one():
    for amount in ("none", "faint", "clear", "strong"):
        curve = word_curve(amount, 0.0, 0.0, "told")
        assert np.ptp(curve) <= np.log(3.0) + 1e-9


def test_within_days_of_a_product_a_smell_says_nothing_and_is_still_told():
    masked = evidence_of([smelt("strong", product_days=3.0)])
    assert len(masked.linear_log_likelihood) == 0
    assert "says nothing" in masked.statements[0].words
    later = evidence_of([smelt("strong", product_days=30.0)])
    assert len(later.linear_log_likelihood) == 1
    assert later.statements[0].reading == 0


def test_a_nose_that_smelt_nothing_is_a_reading_too():
    said = evidence_of([smelt("none")])
    silent = evidence_of([look("s", (0,), method="nose")])
    assert np.array_equal(said.linear_log_likelihood, silent.linear_log_likelihood)
    assert not silent.statements[0].positive
    assert len(evidence_of([look("s", (0,), method="nose", finished=False)]).linear_room) == 0


def test_a_carcass_that_was_found_explains_a_smell():
    found = look("c", (1,), finds("carcass", "one"))
    plain, explained = (
        evidence_of(log).linear_log_likelihood[0]
        for log in ([smelt("strong")], [smelt("strong"), found])
    )
    at = np.searchsorted(GRID, np.log(3.0))
    assert explained[at] < 0.7 * plain[at]
    told = look("c", (1,), finds("carcass", "one"), grade="told", finished=False)
    assert np.array_equal(evidence_of([smelt("strong"), told]).linear_log_likelihood[0], plain)


def test_what_reaches_the_room_on_average_is_the_mean_over_soil():
    evidence = evidence_of([smelt("clear"), look("x", (1,), finds("droppings", "many"))])
    cells = emission_by_cell(TABLE)
    share = transfer(graph(), evidence.linear_room)[0]
    for k, v in enumerate(evidence.linear_void):
        assert np.allclose(evidence.linear_soil[k], share[v] * cells)
        row = evidence.detail[evidence.row_of[v]]
        mean = (row * cells).sum(axis=-1) / row.sum(axis=-1) * share[v]
        assert np.allclose(evidence.linear_emission[k], mean)
        assert (evidence.linear_emission[k][:, 0] == 0.0).all()


def test_voids_that_cannot_be_smelt_are_left_out():
    evidence = evidence_of([smelt("clear")])
    most = evidence.linear_soil.max(axis=1)
    assert (most >= smell.NOTICED).all()
    assert len(evidence.linear_void) < 7


def test_a_smell_in_one_of_several_places_is_that_of_the_first_room():
    placed = look("s", (1, 0, 2), finds("odour", "clear"), method="nose")
    assert weigh([placed], graph(), "norway rat").linear_room.tolist() == [0]

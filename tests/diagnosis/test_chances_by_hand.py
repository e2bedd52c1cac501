"""Chances, errors and halves from populations of a few draws, each sum done on paper."""

from __future__ import annotations

from math import log, sqrt

import msgspec
import numpy as np
import pytest
from by_hand import BATH, F1, F2, KITCHEN, SINK, W1, Draw, population, sample

from small import evidence_of
from wainscot.diagnosis import populations as mixing
from wainscot.diagnosis import posterior
from wainscot.diagnosis.populations import agree, combine
from wainscot.diagnosis.posterior import (
    Chances,
    by_draw,
    conditional,
    pooled_chances,
    smelt_voids,
    source_chances,
    void_chances,
    weights,
    weights_settled,
)

HERE, PAST, NEVER = Draw(used={0: 2}), Draw(used={0: 1}), Draw()

# Clean, then light without and with a nest, and heavy so: 4 : 1 : 2 : 1 : 1 : 1 of ten.
ROW = [4, 1, 2, 1, 1, 1]
NONE = [0] * 6
ROWS = msgspec.structs.replace(
    evidence_of([]), row_of=np.zeros(7, np.int32),
    detail=np.array([[[[1, 0, 0, 0, 0, 0], ROW, NONE], [[2, 0, 0, 0, 0, 0], ROW[::-1], ROW],
                      [[3, 0, 3, 0, 0, 0], ROW, ROW]]], dtype=float),
)  # fmt: skip


# Weights.


def test_a_population_weighs_by_its_evidence_and_its_case_and_both_shared_out():
    # Case one: 1/4 each times 1 and 3; case two: 1/2 times 2.  So 1 : 3 : 4.
    one = sample(population([HERE]), population([HERE], log(3)), prior=0.5)
    two = sample(population([HERE], log(2)), prior=0.5)
    first, second = weights((one, two))
    assert first == pytest.approx([1 / 8, 3 / 8])
    assert second == pytest.approx([1 / 2])
    low = sample(population([HERE], -5000.0), population([HERE], log(3) - 5000.0))
    assert weights((low,))[0] == pytest.approx([0.25, 0.75])
    half = weights((one, one), slice(1, None, 2))
    assert [each.tolist() for each in half] == [[0.5], [0.5]]


@pytest.mark.parametrize(("lift", "settled"), [(0.40, True), (0.41, False)])
def test_halves_may_weigh_a_case_by_a_tenth_apart(lift, settled):
    # The second half weighs e^lift : 1; 0.1 above a half is lift = log(0.6 / 0.4) = 0.405.
    one = sample(population([HERE]), population([HERE], lift), prior=0.5)
    two = sample(population([HERE]), population([HERE]), prior=0.5)
    assert weights_settled((one, two)) == settled
    assert weights_settled((two, one)) == settled
    alone = sample(population([HERE]), prior=0.5)
    assert not weights_settled((one, alone))
    assert weights_settled((two,))


# What rows say.


def test_a_row_is_parted_into_light_heavy_and_nest():
    told = conditional(sample(evidence=ROWS))
    past = {name: table[0, 0, 1] for name, table in told.items()}
    names = ("soiled", "light only", "heavy only", "heavy", "nest")
    assert [past[name] for name in names] == pytest.approx([0.6, 0.2, 0.1, 0.2, 0.3])
    back = {name: table[0, 1, 1] for name, table in told.items()}
    assert [back[name] for name in names] == pytest.approx([0.9, 0.1, 0.1, 0.5, 0.7])
    # A row that says nothing at all counts as soiled for sure, and no draw is ever there.
    assert told["nest"][0, 0, 2] == 0.0
    assert told["soiled"][0, 2, 0] == 0.5


def test_a_draw_reads_the_row_of_its_void_by_load_and_reach():
    one = sample(evidence=ROWS)
    draws = population([Draw(used={0: 1}), Draw(used={0: 2}, load=2), Draw(load=2)])
    read = by_draw(conditional(one)["light only"], one.problem.row_of, draws, np.array([F1, F2]))
    assert read == pytest.approx(np.array([[0.2, 0.0], [0.2, 0.5], [0.5, 0.5]]))


def test_drawn_cells_are_sorted_by_soil_and_nest():
    draws = [Draw(soil={F1: soil}, nest=(F1,) * nest) for soil in range(3) for nest in (0, 1)]
    told = posterior._drawn_cells(population(draws), np.array([F1, F2]))
    assert {name: flags[:, 0].astype(int).tolist() for name, flags in told.items()} == {
        "soiled": [0, 1, 1, 1, 1, 1], "light only": [0, 0, 1, 0, 0, 0],
        "heavy only": [0, 0, 0, 0, 1, 0], "heavy": [0, 0, 0, 0, 1, 1], "nest": [0, 1, 0, 1, 0, 1],
    }  # fmt: skip
    assert not any(flags[:, 1].any() for flags in told.values())


# Means and spreads.


def test_draws_of_a_chain_are_averaged_before_their_spread_is_taken():
    # Draw n belongs to chain n mod 2: 0.2, 0.6 and 0.5, 0.7.
    values = np.array([[0.2], [0.5], [0.6], [0.7]])
    mean, spread = posterior._chain_parts(values, 2)
    assert mean == pytest.approx([0.5])
    assert spread == pytest.approx([2 * 0.1**2 / 2])
    assert posterior._chain_parts(values, 1)[1].tolist() == [0.0]
    assert posterior._chain_parts(values, 4)[1] == pytest.approx([np.var(values, ddof=1) / 4])


@pytest.mark.parametrize("chains", [2, 3, 6])
def test_counting_codes_gives_what_looking_up_every_draw_gives(chains):
    codes = np.array([[0, 1], [2, 1], [1, 1], [0, 0], [0, 2], [2, 2]], dtype=np.uint8)
    table = np.array([[[0.0, 0.5], [0.25, 1.0], [1.0, 0.75]], [[1.0, 0.0], [0.5, 0.5], [0, 0.25]]])
    mean, spread = posterior._parts_of_codes(codes, table, chains)
    for k, field in enumerate(table):
        values = np.array([[field[row[c], c] for c in (0, 1)] for row in codes])
        by_chain = [values[n::chains].mean(axis=0) for n in range(chains)]
        assert mean[k] == pytest.approx(values.mean(axis=0))
        assert spread[k] == pytest.approx(np.var(by_chain, axis=0, ddof=1) / chains)
    alone = posterior._parts_of_codes(codes[:1], table, 1)
    assert alone[1].tolist() == [[0.0, 0.0], [0.0, 0.0]]


PARTS = [posterior._Parts(np.array([[0.2], [0.6]]), np.array([[0.01], [0.03]])),
         posterior._Parts(np.array([[1.0]]), np.array([[0.02]]))]  # fmt: skip
SHARES = [np.array([0.5, 0.25]), np.array([0.25])]


def test_means_are_mixed_by_weight_and_spreads_by_its_square():
    mean, within, between = posterior._mix(PARTS, SHARES)
    assert mean == pytest.approx([0.1 + 0.15 + 0.25])
    assert within == pytest.approx([0.25 * 0.01 + 0.0625 * 0.03 + 0.0625 * 0.02])
    # First case: 0.5 x (0.2 - 0.5) = -0.15 and 0.25 x 0.1 = 0.025, 0.0875 from their mean.
    assert between == pytest.approx([2 * 0.0875**2 * 2])
    assert posterior._mix(PARTS[1:], [np.ones(1)])[2].tolist() == [0.0]
    three = posterior._Parts(np.array([[0.0], [0.3], [0.6]]), np.zeros((3, 1)))
    # A third each: -0.1, 0, 0.1; 0.02 x 3 / 2.
    assert posterior._mix([three], [np.full(3, 1 / 3)])[2] == pytest.approx([0.03])


def test_the_ratio_says_how_far_chains_understate_the_spread_between_populations():
    # The case's own mean is (0.1 + 0.15) / 0.75 = 1/3: 0.5 x -2/15 and 0.25 x 4/15, +-1/15.
    between, within = 2 * (1 / 15) ** 2 * 2, 0.25 * 0.01 + 0.0625 * 0.03
    assert posterior._ratio(SHARES, PARTS) == pytest.approx(between / within)
    both = posterior._ratio([*SHARES, *SHARES], [*PARTS, *PARTS])
    assert both == pytest.approx(between / within), "both sums double"
    calm = posterior._Parts(np.array([[0.5], [0.51]]), np.ones((2, 1)))
    assert posterior._ratio([np.full(2, 0.5)], [calm]) == 1.0
    two = [np.full(2, 0.5), np.array([0.5, 0.25])]
    # Added up: 2 (0.5 x 0.005)^2 x 2 beside the above, over 0.5 beside the above.
    assert posterior._ratio(two, [msgspec.structs.replace(calm, variance=np.full((2, 1), 1e-3)),
                                  PARTS[0]]) == pytest.approx(
        (between + 4 * 0.0025**2) / (within + 0.5e-3))  # fmt: skip
    assert posterior._ratio(SHARES[1:], PARTS[1:]) == 1.0
    still = posterior._Parts(np.array([[0.1], [0.9]]), np.zeros((2, 1)))
    assert posterior._ratio([np.full(2, 0.5)], [still]) == 1.0
    assert posterior._ratio([np.zeros(2)], [PARTS[0]]) == 1.0


def test_an_error_is_the_larger_spread_and_no_less_than_four_draws_are_worth():
    one = sample(population([HERE] * 100), population([HERE] * 100))
    parts = posterior._Parts(np.array([[0.2, 0.5], [0.6, 0.5]]), np.array([[0.01, 0.01]] * 2))
    # Within: 2 x 0.25 x 0.01 = 0.005; between: 2 x 0.1^2 x 2 = 0.04, and none.
    for ratio, first, second in ((1.0, 0.2, sqrt(0.005)), (16.0, sqrt(0.08), sqrt(0.08))):
        told = posterior._chances((one,), [parts], ratio)
        least = 4 * ratio / 200
        assert told.error == pytest.approx([max(first, least), max(second, least)])
        assert told.mean == pytest.approx([0.4, 0.5])
        assert told.halves == pytest.approx(np.array([[0.2, 0.5], [0.6, 0.5]]))
        assert told.settled.tolist() == [False, False], "0.07 is above the greatest error"
    sure = posterior._Parts(np.array([[1.0 + 1e-12], [1.0]]), np.zeros((2, 1)))
    told = posterior._chances((one,), [sure], 1.0)
    assert (told.mean.tolist(), told.error.tolist(), told.settled.tolist()) == ([1.0], [0.02], [1])
    nothing = posterior._Parts(-1e-12 * np.ones((2, 1)), np.zeros((2, 1)))
    assert posterior._chances((one,), [nothing], 1.0).mean.tolist() == [0.0]


def test_one_population_has_no_halves_and_is_not_settled():
    one = sample(population([HERE] * 8))
    told = void_chances((one,))["now"]
    assert told.mean.tolist() == [0, 0, 1, 0, 0, 0, 0]
    assert np.array_equal(told.halves, [told.mean, told.mean])
    assert not told.settled.any()
    assert told.error == pytest.approx([0.5] * 7)


def test_halves_are_every_second_population_by_their_own_weights():
    parts = [population([HERE]), population([NEVER]), population([NEVER], log(3)),
             population([PAST], log(3))]  # fmt: skip
    told = void_chances((sample(*parts),))
    # Weights 1 : 1 : 3 : 3; the first half HERE 1 and NEVER 3, the second NEVER 1 and PAST 3.
    assert told["ever"].mean[F1] == pytest.approx(4 / 8)
    assert told["ever"].halves[:, F1] == pytest.approx([1 / 4, 3 / 4])
    assert told["now"].halves[:, F1] == pytest.approx([1 / 4, 0])


def test_the_ratio_is_taken_over_all_voids_and_fields_at_once():
    # f1 alone, ever and now: half of 100 draws, three quarters of 100; rows that never say soil.
    clean = msgspec.structs.replace(ROWS, detail=np.eye(6)[0] * np.ones((1, 3, 3, 1)))
    halves = [population([HERE, NEVER] * 50), population([HERE, HERE, HERE, NEVER] * 25)]
    told = void_chances((sample(*halves, evidence=clean),))
    within = 0.25 * (0.25 + 0.1875) / 99
    between = 2 * (0.5 * 0.125) ** 2 * 2
    least = 4 * (between / within) / 200
    for name in ("ever", "now"):
        assert told[name].mean[F1] == pytest.approx(0.625)
        assert told[name].error == pytest.approx([least] * 7)
        assert least > sqrt(between)
        assert told[name].settled.tolist() == [v != F1 for v in range(7)]
    assert told["soiled"].mean.tolist() == [0.0] * 7
    pooled = pooled_chances((sample(*halves),), lambda _, one: (one.reach[:, [F1, W1]] > 0) * 1.0)
    assert pooled.mean == pytest.approx([0.625, 0.0])
    assert pooled.error == pytest.approx([least] * 2)
    used, now = source_chances((sample(*halves),))
    for each in (used, now):
        assert each.mean[0] == pytest.approx(0.625)
        assert each.error == pytest.approx([least] * 5)
        assert each.halves[:, 0] == pytest.approx([0.5, 0.75])


def test_where_it_smells_drawn_cells_count_and_elsewhere_rows():
    smelt = msgspec.structs.replace(
        ROWS, linear_void=np.array([F1, F1, BATH], dtype=np.int32),
        linear_offsets=np.array([0, 3], dtype=np.int32))  # fmt: skip
    draws = [Draw(used={0: 1}, soil={F1: 2}), Draw(used={0: 1}, soil={F1: 1}, nest=(F1,)),
             Draw(on=(2,), used={0: 1}), Draw(used={0: 1}, nest=(BATH,))]  # fmt: skip
    one = sample(population(draws), evidence=smelt)
    assert smelt_voids(one).tolist() == [F1, BATH]
    told = {name: each.mean for name, each in void_chances((one,)).items()}
    assert {name: told[name][F1] for name in told} == pytest.approx({
        "soiled": 0.5, "light only": 0, "heavy only": 0.25, "heavy": 0.25, "nest": 0.25,
        "ever": 1, "now": 0})  # fmt: skip
    assert told["nest"][BATH] == told["soiled"][BATH] == 0.25
    assert told["soiled"][F2] == pytest.approx(0.6 / 4)


def test_what_a_case_has_not_counts_as_none_of_it():
    one = sample(population([HERE]), void_map=(F1, -1, F1, KITCHEN, -1, -1, SINK), evidence=ROWS,
                 source_map=(-1, 0, 0))  # fmt: skip
    assert void_chances((one,))["now"].mean.tolist() == [1, 0, 1, 0, 0, 0, 0]
    used, _ = source_chances((one,))
    assert used.mean.tolist() == [0, 1, 1]


# Several populations of one problem.


def test_halves_agree_within_bounds_that_grow_with_the_error():
    def fits(difference, error):
        return bool(agree(np.array([0.3]), np.array([0.3 + difference]), np.array([error]))[0])

    bounds = [(0.0, 0.05), (0.005, 0.05), (0.01, 0.09), (0.015, 0.135), (0.02, 0.15), (0.04, 0.15)]
    for error, most in bounds:
        assert fits(most - 1e-9, error), error
        assert not fits(most + 1e-9, error), error
        assert not fits(-most - 1e-9, error), error
    assert not fits(0.0, 0.0401)


A = [HERE, NEVER] * 50
B = [HERE, HERE, HERE, NEVER] * 25


def test_populations_are_mixed_by_evidence_and_compared_by_halves():
    one = population(A, 0.0, log_evidence_se=0.1)
    two = population(B, log(3), log_evidence_se=0.2)
    told = combine([one, two])
    assert told.weights == pytest.approx([0.25, 0.75])
    # 0.25 x 0.5 + 0.75 x 0.75
    assert told.ever == pytest.approx([0, 0, 0.6875, 0, 0, 0, 0])
    assert told.now == pytest.approx(told.ever)
    assert told.source[0] == pytest.approx([0.3125, 0, 0.6875])
    assert told.source[1:].tolist() == [[1, 0, 0]] * 3
    assert told.soil.tolist() == [[1, 0, 0]] * 7
    assert told.nest.tolist() == [0] * 7
    between = 2 * (0.0625 * 0.1875**2 + 0.5625 * 0.0625**2)
    inside = (0.0625 * 0.25 + 0.5625 * 0.1875) / 99
    least = 4 * (between / inside) / 200
    assert least > sqrt(between)
    for name in ("source", "ever", "now", "soil", "nest"):
        assert np.allclose(getattr(told, f"{name}_se"), least), name
    assert told.log_evidence == pytest.approx(log(2))
    # Relative to even weights 0.5 and 1.5: (0.25 + 0.25) / 2 = 0.25, more than they say alone.
    assert told.log_evidence_se == pytest.approx(0.5)
    assert not told.settled
    assert [(each.what, each.index) for each in told.disagreements] == [
        ("log_evidence", ()), ("source", (0, 0)), ("source", (0, 2)), ("ever", (F1,)),
        ("now", (F1,))]  # fmt: skip
    evidence, never, _, ever, _ = told.disagreements
    assert (evidence.first, evidence.second, evidence.error) == pytest.approx((0, log(3), 0.5))
    assert (never.first, never.second) == pytest.approx((0.5, 0.25))
    assert (ever.first, ever.second, ever.error) == pytest.approx((0.5, 0.75, sqrt(between)))


def test_what_populations_say_of_their_evidence_counts_where_they_agree():
    parts = [population(A, log_evidence_se=0.1), population(A, log_evidence_se=0.3)]
    told = combine(parts)
    assert told.log_evidence_se == pytest.approx(sqrt(0.25 * 0.01 + 0.25 * 0.09))
    assert told.log_evidence == 0.0
    # 100 draws: 0.5 x 0.5 / 99 in each, a quarter of it twice, and no spread between them.
    assert told.ever_se[F1] == pytest.approx(sqrt(0.5 * 0.25 / 99))
    assert told.ever_se[F2] == pytest.approx(4 / 200)
    assert told.settled
    assert told.disagreements == ()
    assert not combine(parts[:1]).settled
    assert combine(parts[:1]).disagreements == ()
    assert combine(parts[:1]).log_evidence_se == pytest.approx(0.1)
    lone = combine([population([HERE])])
    assert (lone.ever[F1], lone.ever_se[F1]) == (1.0, 4.0)


@pytest.mark.parametrize(("apart", "told"), [(0.499, False), (0.501, True)])
def test_log_evidences_of_halves_may_differ_by_half_a_nat(apart, told):
    # Of 120 populations the error is 0.023, so that nine times it is below the half.
    logs = [0.0, apart] * 60
    found = combine([population(A, each) for each in logs]).disagreements
    assert [one.what for one in found] == ["log_evidence"] * told


def test_every_second_population_is_one_half():
    told = combine([population(A), population(B), population(A, log(3)), population(B, log(3))])
    (ever,) = [one for one in told.disagreements if one.what == "ever"]
    assert (ever.first, ever.second) == pytest.approx((0.5, 0.75))
    late = combine([population(NOW_THEN) for NOW_THEN in (A, B, B, A)])
    assert [one for one in late.disagreements if abs(one.first - one.second) > 1e-12] == []


def test_fields_are_counted_by_state_and_chains_before_spread():
    draws = [Draw(used={0: 2}, soil={F1: 2}, nest=(F1,)), Draw(used={0: 1}, soil={F1: 1}),
             Draw(used={0: 2}, soil={F1: 2}), NEVER]  # fmt: skip
    # Chains of two: draws 0, 2 and 1, 3.
    parts = mixing._chances(population(draws, chains=2))
    assert parts["source"][0][0] == pytest.approx([0.25, 0.25, 0.5])
    assert parts["soil"][0][F1] == pytest.approx([0.25, 0.25, 0.5])
    assert (parts["ever"][0][F1], parts["now"][0][F1], parts["nest"][0][F1]) == (0.75, 0.5, 0.25)
    # Now: 1 and 0 by chain, variance 0.5, of two chains.
    assert parts["now"][1][F1] == pytest.approx(0.25)
    assert parts["ever"][1][F1] == pytest.approx(0.125 / 2)
    assert isinstance(void_chances((sample(population(draws, chains=2)),))["now"], Chances)

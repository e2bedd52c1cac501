"""Draws under other evidence, left out inspections and reasons, from draws and rows by hand."""

from __future__ import annotations

from math import log
from types import SimpleNamespace

import msgspec
import numpy as np
import pytest
from by_hand import (
    AT,
    BATH,
    F1,
    F2,
    KITCHEN,
    W1,
    W2,
    Draw,
    likelihood,
    population,
    sample,
    thin_of,
)

from small import evidence_of, graph, usual
from wainscot.diagnosis import contributions as step
from wainscot.diagnosis import why as reasons
from wainscot.diagnosis.contributions import Leaver, log_odds
from wainscot.diagnosis.draws import gather
from wainscot.diagnosis.posterior import weights
from wainscot.diagnosis.reweigh import changed_voids, log_ratio, smell_log, soiled
from wainscot.diagnosis.variants import _cumulative, alike, join, redraw, thinned, values_under
from wainscot.diagnosis.why import whys
from wainscot.signs import without

DRAWS = [
    Draw(on=(2, 6), used={0: 2}, load=1),
    Draw(on=(0, 1), used={0: 1, 2: 2}, load=2),
    Draw(used={3: 1, 1: 2}),
    Draw(on=(4,), used={2: 1}, load=2),
    Draw(),
]


def rows(*cells):
    """Rows of evidence [U, 3, 3, 6]: clean where unreached, else as given, for every load."""
    clean = [1, 0, 0, 0, 0, 0]
    return np.array([[[clean, past, now]] * 3 for past, now in cells], dtype=float)


# Half clean, then 2 : 1 : 1 of light, heavy, nest; and with the sums of the rows 1 and 2.
PAST, NOW = [0.5, 0.1, 0.2, 0.05, 0.1, 0.05], [0.2, 0.2, 0.6, 0.2, 0.4, 0.4]
PLAIN = msgspec.structs.replace(
    evidence_of([]), detail=rows((PAST, NOW)), row_of=np.zeros(7, np.int32)
)
NONE = [1, 0, 0, 0, 0, 0]


def changed(past, now, *voids):
    """``PLAIN`` with other rows at some voids."""
    of = np.isin(np.arange(7), voids).astype(np.int32)
    return msgspec.structs.replace(
        PLAIN, detail=rows((PAST, NOW), (past, now)), row_of=of)  # fmt: skip


# What draws would weigh.


@pytest.mark.parametrize("key", ["i1", "i2", "i3", "i4", "i5", "i6", "i7"])
def test_draws_weigh_the_ratio_of_what_both_evidences_give_them(key):
    own = evidence_of(usual())
    other = without(own, key)
    drawn = population(DRAWS)
    for before, after in ((own, other), (other, own)):
        logs, most = log_ratio(sample(evidence=before), drawn, after)
        by_hand = [log(likelihood(after, one) / likelihood(before, one)) for one in DRAWS]
        assert logs == pytest.approx(by_hand)
        assert most >= max(by_hand) - 1e-9
    assert set(log_ratio(sample(evidence=own), drawn, own)[0].tolist()) == {0.0}


def test_the_greatest_ratio_is_that_of_each_changed_void_at_its_best():
    # Rows three and four times as likely in two voids: at most 4 x 4.
    other = changed([3 * one for one in PAST], [4 * one for one in NOW], F1, BATH)
    logs, most = log_ratio(sample(evidence=PLAIN), population(DRAWS), other)
    assert most == pytest.approx(log(16))
    # By draw: f1 and bath now; f1 past; bath past; neither in the last two.
    assert logs == pytest.approx([log(16), log(3), log(3), 0, 0])
    # All a tenth as likely where reached: unreached it is as it was.
    least = changed([0.1 * one for one in PAST], [0.1 * one for one in NOW], F1, BATH)
    assert log_ratio(sample(evidence=PLAIN), population(DRAWS), least)[1] == pytest.approx(0)


def test_loads_weigh_by_the_ratio_of_their_priors():
    own = msgspec.structs.replace(PLAIN, load_prior=np.array([0.5, 0.25, 0.25]))
    other = msgspec.structs.replace(PLAIN, load_prior=np.array([0.2, 0.3, 0.5]))
    logs, most = log_ratio(sample(evidence=own), population(DRAWS), other)
    assert logs == pytest.approx([log([0.4, 1.2, 2.0][one.load]) for one in DRAWS])
    assert most == pytest.approx(log(2))


def zone(times=1, heard=True):
    return msgspec.structs.replace(
        PLAIN,
        zone_offsets=np.arange(times + 1, dtype=np.int32) * 2,
        zone_void=np.array([F1, BATH] * times, dtype=np.int32),
        zone_hit=np.array([[0.0, 0.5, 0.8], [0.0, 0.2, 0.4]] * times),
        zone_false=np.full(times, 0.1), zone_heard=np.full(times, heard),
    )  # fmt: skip


@pytest.mark.parametrize("heard", [True, False])
@pytest.mark.parametrize("times", [1, 2])
def test_a_zone_weighs_by_what_its_members_let_through(heard, times):
    # Silent: 0.9 x (1 - hit of f1) x (1 - hit of bath), by how each is reached.
    silent = [0.9 * 0.2 * 0.6, 0.9 * 0.5, 0.9 * 0.8, 0.9, 0.9]
    said = [log(1 - one if heard else one) for one in silent]
    drawn = population(DRAWS)
    added, most = log_ratio(sample(evidence=PLAIN), drawn, zone(times, heard))
    assert added == pytest.approx([times * one for one in said])
    assert most == pytest.approx(times * log(1 - 0.9 * 0.2 * 0.6 if heard else 0.9))
    gone, most = log_ratio(sample(evidence=zone(times, heard)), drawn, PLAIN)
    assert gone == pytest.approx([-times * one for one in said])
    assert most == pytest.approx(-times * log(0.1 if heard else 0.9 * 0.2 * 0.6))
    other = log_ratio(sample(evidence=zone(1, heard)), drawn, zone(2, heard))[0]
    assert other == pytest.approx(said)


def test_only_drawn_ways_in_weigh_by_what_was_seen_at_them():
    factor = np.ones((5, 3))
    factor[0], factor[3] = (1.0, 0.2, 0.5), (1.0, 9.0, 9.0)
    other = msgspec.structs.replace(PLAIN, source_factor=factor)
    logs, most = log_ratio(sample(evidence=other), population(DRAWS), PLAIN)
    assert logs == pytest.approx([log(2), log(5), 0, 0, 0])
    assert most == pytest.approx(log(5))


SENDS = np.array([[0, 1, 2, 3, 4, 5], [0, 10, 20, 30, 40, 50]], dtype=float)


def smell(first=0.0, last=-3.0, sends=SENDS, times=1):
    """Readings of what f1 and bath send by cell, level up to 1 and falling to ``last`` at 10."""
    return msgspec.structs.replace(
        PLAIN, linear_offsets=np.arange(times + 1, dtype=np.int32) * 2,
        linear_void=np.array([F1, BATH] * times, dtype=np.int32),
        linear_grid=np.array([0.0, log(10)]),
        linear_log_likelihood=np.array([[first, last]] * times),
        linear_soil=np.concatenate([sends] * times),
    )  # fmt: skip


SMELT = [
    Draw(used={0: 2}, soil={F1: 1}, nest=(F1,)),  # cell 3 at f1: sends 3
    Draw(used={3: 2}, soil={BATH: 2}),  # cell 4 at bath: sends 40, beyond the grid
    Draw(),  # sends nothing, below the grid
    Draw(on=(2,), used={0: 1}, soil={F1: 2}, nest=(F2,)),  # cell 4 at f1: sends 4
]


def test_smells_weigh_by_the_sum_of_what_the_drawn_soil_sends():
    by_hand = [-3 * log(3) / log(10), -3.0, 0.0, -3 * log(4) / log(10)]
    drawn = population(SMELT)
    assert smell_log(smell(), drawn) == pytest.approx(by_hand)
    assert smell_log(smell(times=2), drawn) == pytest.approx([2 * one for one in by_hand])
    logs, most = log_ratio(sample(evidence=smell()), drawn, smell(first=-1.0, last=2.0))
    after = [-1 + 3 * log(3) / log(10), 2.0, -1.0, -1 + 3 * log(4) / log(10)]
    assert logs == pytest.approx([a - b for a, b in zip(after, by_hand, strict=True)])
    assert most == pytest.approx(2.0 - -3.0)
    # The same curve over other amounts is not the same either.
    twice, _ = log_ratio(sample(evidence=smell()), drawn, smell(sends=2 * SENDS))
    assert twice == pytest.approx([-3 * log(2) / log(10), 0, 0, -3 * log(2) / log(10)])


def test_where_a_smell_hangs_on_a_void_its_drawn_cell_is_weighed_and_not_its_row():
    past, now = [2, 1, 1, 1, 1, 1], [1, 1, 1, 5, 3, 1]
    own = msgspec.structs.replace(smell(), detail=rows((PAST, NOW), (past, now)))
    own = msgspec.structs.replace(own, row_of=np.zeros(7, np.int32))
    other = msgspec.structs.replace(own, row_of=np.isin(np.arange(7), (F1, F2)).astype(np.int32))
    logs, most = log_ratio(sample(evidence=own), population(SMELT), other)
    # f1 now in cell 3: 5 for 0.2; f1 past in cell 4: 1 for 0.1, and f2 past by its sums: 7 for 1.
    assert logs == pytest.approx([log(25), 0, 0, log(10) + log(7)])
    # At best: f2 12 for 2 or 7 for 1; f1 by cell 5 / 0.2, 1 / 0.05, 3 / 0.4 ...
    assert most == pytest.approx(log(7) + log(25))
    impossible = msgspec.structs.replace(other, detail=rows((PAST, NOW), (past, NONE)))
    logs, _ = log_ratio(sample(evidence=own), population(SMELT), impossible)
    assert logs[0] < -600


def test_voids_whose_rows_say_the_same_are_not_changed():
    other = changed([2 * one for one in PAST], NOW, W2, F1)
    same = msgspec.structs.replace(other, detail=rows((PAST, NOW), (PAST, NOW)))
    assert {pair: voids.tolist() for pair, voids in changed_voids(PLAIN, other).items()} == {
        (0, 1): [F1, W2]}  # fmt: skip
    assert changed_voids(PLAIN, same) == {}
    back = changed_voids(other, PLAIN)
    assert {pair: voids.tolist() for pair, voids in back.items()} == {(1, 0): [F1, W2]}


def test_soil_under_other_evidence_is_that_of_its_rows_but_as_drawn_where_it_smells():
    other = changed([0.9, 0, 0.1, 0, 0, 0], [0.3, 0.7, 0, 0, 0, 0], F1)
    voids = np.array([F1, F2], dtype=np.int32)
    drawn = population([Draw(on=(2,), used={0: 1}), Draw(used={0: 2}), Draw()])
    told = soiled(sample(evidence=PLAIN), drawn, other, voids)
    assert told == pytest.approx(np.array([[0.1, 0.5], [0.7, 0.0], [0.0, 0.0]]))
    seen = soiled(sample(evidence=smell()), population(SMELT), PLAIN, voids)
    # f1 by its cell; f2 by the row of what is reached in the past: 0.5.
    assert seen == pytest.approx(np.array([[1, 0], [0, 0], [0, 0], [1, 0.5]]))
    again = soiled(sample(evidence=PLAIN), population(SMELT), smell(), voids)
    assert again == pytest.approx(seen)


# One inspection left out.


def mean_soil(evidence, draws, shares, v):
    total = 0.0
    for one, share in zip(draws, shares, strict=True):
        cells = evidence.detail[evidence.row_of[v]][one.load][one.reach[v]].tolist()
        total += share * (1 - cells[0] / sum(cells))
    return total / sum(shares)


def test_a_left_out_inspection_is_weighed_over_all_populations_of_all_cases():
    own = evidence_of(usual())
    first, second = DRAWS[:2], DRAWS[2:]
    # 3 : 1 between the populations of a case, 2 : 1 between the cases: 1/2, 1/6, 1/3.
    rat = sample(population(first, log(3)), population(second), evidence=own, prior=2 / 3)
    mouse = sample(population(second, log(2)), evidence=own, prior=1 / 3, species="house mouse",
                   void_map=(0, 1, 2, 3, 4, 5, -1))  # fmt: skip
    leaver = Leaver((rat, mouse), np.array([F1, BATH], dtype=np.int32))
    share = [3 / 12, 3 / 12, *[1 / 18] * 3, *[1 / 9] * 3]
    share = [each / (sum([1 / 2, 1 / 6, 1 / 3])) for each in share]
    draws = [*first, *second, *second]
    assert np.exp(leaver.base) == pytest.approx(share)
    for evidence, told in ((own, leaver.with_all), (without(own, "i5"), leaver.leave("i5").soiled)):
        ratio = [likelihood(evidence, one) / likelihood(own, one) for one in draws]
        new = [a * b for a, b in zip(share, ratio, strict=True)]
        assert told[0] == pytest.approx(mean_soil(evidence, draws, new, F1))
        # The mouse's house has no such bath: its draws count as clean there.
        inside = sum(new[:5]) / sum(new)
        assert told[1] == pytest.approx(inside * mean_soil(evidence, draws[:5], new[:5], BATH))
    left = leaver.leave("i5")
    assert (left.key, left.reliable) == ("i5", False), "five draws visit too little"
    assert left.words == next(one.words for one in own.statements if one.key == "i5")


def test_what_was_never_said_changes_nothing_and_is_reliable():
    one = sample(population([Draw(on=(2,), used={0: 2})] * 64), evidence=evidence_of(usual()))
    leaver = Leaver((one,), np.array([F1], dtype=np.int32))
    left = leaver.leave("nobody")
    assert (left.words, left.reliable) == ("", True)
    assert left.soiled == pytest.approx(leaver.with_all)
    few = sample(population([Draw()] * 19))
    assert not Leaver((few,), np.array([F1], dtype=np.int32)).leave("nobody").reliable


@pytest.mark.parametrize(
    ("count", "held", "k", "reliable"),
    [(64, 32, 0.69, True), (64, 31, 0.69, False), (64, 32, 0.7, False),
     (1000, 400, 0.0, True), (1000, 399, 0.0, False)],
)  # fmt: skip
def test_half_of_the_effective_draws_or_400_must_be_left(monkeypatch, count, held, k, reliable):
    logs = np.where(np.arange(count) < held, 0.0, -800.0)
    monkeypatch.setattr(step, "log_ratio", lambda *_: (logs, 0.0))
    monkeypatch.setattr(step, "smooth", lambda given: (given, k))
    leaver = Leaver((sample(population([Draw()] * count)),), np.array([F1], dtype=np.int32))
    assert leaver.leave("x").reliable == reliable


# Why a void stands where it stands.


def test_reasons_are_told_of_hidden_voids_with_new_draws_where_there_are_any(monkeypatch):
    own = evidence_of(usual())
    one = sample(population(DRAWS * 20), evidence=own)
    voids = [SimpleNamespace(id=key, hidden=key != "kitchen") for key in
             ("bath", "kitchen", "f1", "w2")]  # fmt: skip
    picked = (thin_of(DRAWS, evidence=own),)
    anew = {"i2": np.full(7, 0.5)}
    said = whys((one,), picked, tuple(voids), anew)
    assert list(said.voids) == ["bath", "f1", "w2"]
    assert list(said.words) == list(said.found) == [f"i{n}" for n in range(1, 8)]
    assert [key for key, found in said.found.items() if not found] == ["i2", "i6"]
    leaver = Leaver((one,), np.array([BATH, F1, W2], dtype=np.int32))
    for at, key in enumerate(said.voids):
        expected = {}
        for name in said.words:
            left = leaver.leave(name)
            new = 0.5 if name == "i2" else left.soiled[at]
            change = log_odds(leaver.with_all)[at] - log_odds(np.array([new]))[0]
            if abs(change) >= 0.1:
                expected[name] = (pytest.approx(change), name == "i2" or left.reliable)
        told = said.voids[key].weighs
        assert {one.inspection: (one.log_odds, one.reliable) for one in told} == expected
        sizes = [abs(one.log_odds) for one in told]
        assert sizes == sorted(sizes, reverse=True)
    assert said.voids["bath"].way.voids[-1] == "bath"
    assert whys((one,), (thin_of([Draw()]),), tuple(voids), {}).voids["bath"].way is None
    monkeypatch.setattr(reasons, "MOST", 1)
    assert list(whys((one,), picked, tuple(voids), anew).voids) == ["bath"]


def test_reasons_speak_with_the_words_of_the_likeliest_case():
    own = evidence_of(usual())
    told = tuple(msgspec.structs.replace(one, words="otherwise") for one in own.statements)
    first = sample(population(DRAWS), evidence=own)
    second = sample(population(DRAWS), evidence=msgspec.structs.replace(own, statements=told))
    void = (SimpleNamespace(id="f1", hidden=True),)
    words = {one.key: one.words for one in own.statements}
    assert whys((first, second), (), void, {}).words == words
    assert set(whys((second, first), (), void, {}).words.values()) == {"otherwise"}


# Joined draws.


def test_every_second_draw_of_a_case_is_kept_with_its_weight():
    parts = population(DRAWS[:3]), population(DRAWS[3:], 1.0)
    one = sample(*parts, evidence=PLAIN)
    drawn = join(one, np.array([0.75, 0.0]), 2)
    kept = [DRAWS[0], DRAWS[2], DRAWS[4]]
    assert np.array_equal(drawn.population.reach, [each.reach for each in kept])
    assert np.array_equal(drawn.population.source, [each.source for each in kept])
    assert drawn.population.load.tolist() == [each.load for each in kept]
    assert {len(getattr(drawn.population, name)) for name in ("soil", "nest", "run")} == {3}
    assert len(drawn.population.log_likelihood) == 3
    assert drawn.base[:2] == pytest.approx([log(0.25)] * 2)
    assert drawn.base[2] == pytest.approx(-300 * log(10) - log(2))
    whole = gather((one,), True, np.zeros(7))
    less = thinned(whole, 2)
    for name in ("case", "entry", "ever", "now", "soil", "nest", "run"):
        assert np.array_equal(getattr(less, name), getattr(whole, name)[::2]), name
    assert less.weight == pytest.approx(whole.weight[::2] / whole.weight[::2].sum())
    two = gather((sample(population(DRAWS[:3])), sample(population(DRAWS[:3]))), True, np.zeros(7))
    assert thinned(two, 2).case.tolist() == [0, 0, 1, 1]


def test_values_are_those_of_the_rows_and_of_the_drawn_cells_where_it_smells():
    drawn = join(sample(population(DRAWS[:2]), evidence=PLAIN, void_map=(F1, -1, W1)),
                 np.ones(1), 1)  # fmt: skip
    # Light, heavy, nest past: 0.2, 0.1, 0.2; now: 0.6, 0.4, 0.8 of 2.
    past, now, none = [0.2, 0.1, 0.2], [0.3, 0.2, 0.4], [0, 0, 0]
    assert drawn.values.transpose(1, 2, 0) == pytest.approx(
        np.array([[now, none, none], [past, none, now]]))  # fmt: skip
    other = changed([1, 0, 0, 0, 0, 1], [1, 0, 1, 0, 2, 0], F1, BATH)
    before = drawn.values.copy()
    under = values_under(drawn, other).transpose(1, 2, 0)
    assert under == pytest.approx(
        np.array([[[0.25, 0.5, 0], none, none], [[0, 0, 0.5], none, now]]))  # fmt: skip
    assert np.array_equal(drawn.values, before), "the values as drawn are kept"
    assert values_under(drawn, PLAIN) is drawn.values
    smelt = join(sample(population(SMELT), evidence=smell(), void_map=(F1, F2)), np.ones(1), 1)
    assert smelt.values.transpose(1, 2, 0) == pytest.approx(np.array([
        [[0, 0, 1], none], [none, none], [none, none], [[0, 1, 0], past]]))  # fmt: skip
    light = join(sample(population([Draw(used={0: 2}, soil={F1: 1})]), evidence=smell()),
                 np.ones(1), 1)  # fmt: skip
    assert light.values[:, 0, F1].tolist() == [1, 0, 0]
    # What smells under the other evidence alone counts as drawn there.
    new = msgspec.structs.replace(smell(), detail=other.detail, row_of=other.row_of)
    plain = join(sample(population(SMELT), evidence=PLAIN), np.ones(1), 1)
    assert values_under(plain, new)[:, :, F1].tolist() == [[0, 0, 0, 0], [0, 0, 0, 1], [1, 0, 0, 0]]


def test_soil_is_drawn_anew_only_where_the_rows_differ():
    draws = [Draw(on=(2,), used={0: 2}, soil={F1: 1, F2: 1}, nest=(F2,)), Draw(soil={W1: 2})]
    heavy_nest = [0, 0, 0, 0, 0, 3]
    other = changed(heavy_nest, heavy_nest, F1, W1)
    one = join(sample(population(draws), evidence=PLAIN, void_map=(W1, -1, F2, F1)), np.ones(1), 1)
    soil, nest = np.array([[0, 7, 1, 1], [2, 7, 0, 0]]), np.array([[0, 0, 1, 0], [0, 0, 0, 0]]) > 0
    redraw(one, other, soil, nest, 1)
    # f1 is reached in the first draw: heavy with a nest; all else stays, and unreached w1 is clean.
    assert soil.tolist() == [[0, 7, 1, 2], [0, 7, 0, 0]]
    assert nest.tolist() == [[False, False, True, True], [False, False, False, False]]
    smelt = join(sample(population(draws), evidence=smell()), np.ones(1), 1)
    kept, nests = np.array([one.soil for one in draws]), np.array([one.nest for one in draws]) > 0
    redraw(smelt, changed(heavy_nest, heavy_nest, F1), kept, nests, 1)
    assert kept.tolist() == [one.soil for one in draws], "a smell ties it: as drawn"


def test_rows_are_added_up_to_one_whatever_their_sum():
    rows = np.array([[1.0, 1, 0, 2], [0, 0, 0, 0], [0, 0.5, 0, 0]])
    assert _cumulative(rows) == pytest.approx(
        np.array([[0.25, 0.5, 0.5, 1], [0, 0, 0, 0], [0, 1, 1, 1]]))  # fmt: skip


def test_a_cell_moves_no_further_than_the_rows_make_it():
    # Clean 0.5 and light 0.5 before; 0.7 and 0.3 after: of the light ones two in five turn clean.
    count = 4000
    draws = [Draw(used={0: 1}, soil={F1: n % 2}) for n in range(count)]
    own = changed([0.5, 0, 0.5, 0, 0, 0], NONE, F1)
    other = changed([0.7, 0, 0.3, 0, 0, 0], NONE, F1)
    one = join(sample(population(draws), evidence=own), np.ones(1), 1)
    soil, nest = one.population.soil.copy(), one.population.nest > 0
    redraw(one, other, soil, nest, 5)
    light = soil[:, F1] == 1
    assert not light[::2].any(), "what was clean stays clean"
    # 5 standard errors of a share of 0.6 of 2000 draws: 0.055.
    assert light[1::2].mean() == pytest.approx(0.6, abs=0.055)
    assert not nest.any()
    again = one.population.soil.copy()
    redraw(one, other, again, nest, 5)
    assert np.array_equal(again, soil), "the same seed gives the same"


def test_evidences_are_alike_only_if_all_that_weighs_is():
    full = evidence_of(usual())
    assert alike(full, evidence_of(usual()))
    for name in ("detail", "load_prior", "zone_hit", "zone_false", "source_factor"):
        assert not alike(full, msgspec.structs.replace(full, **{name: getattr(full, name) + 0.1}))
    for name in ("linear_soil", "linear_log_likelihood", "linear_void"):
        other = msgspec.structs.replace(smell(), **{name: getattr(smell(), name) + 1})
        assert not alike(smell(), other), name


def test_the_ways_in_are_numbered_as_by_hand():
    one = sample(population([Draw()]))
    assert tuple(one.problem.source_void.tolist()) == AT
    assert graph().keys[KITCHEN] == "kitchen"
    assert [each.tolist() for each in weights((one,))] == [[1.0]]


def test_the_first_void_counts_like_any_other():
    # The kitchen now: 0.2 of 2 clean; and a draw in which nobody is there.
    one = sample(population([Draw(used={1: 2}), Draw()]), evidence=PLAIN)
    assert Leaver((one,), np.array([KITCHEN], dtype=np.int32)).with_all == pytest.approx([0.45])
    drawn = join(one, np.ones(1), 1)
    soil, nest = np.zeros((2, 7), dtype=np.uint8), np.zeros((2, 7), dtype=bool)
    redraw(drawn, changed([0, 0, 0, 0, 0, 1], [0, 0, 0, 0, 0, 1], KITCHEN), soil, nest, 1)
    assert (soil[:, KITCHEN].tolist(), nest[:, KITCHEN].tolist()) == ([2, 0], [True, False])

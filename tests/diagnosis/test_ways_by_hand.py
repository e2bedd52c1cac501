"""Picked draws, their connected parts, ways, runs and unexplained signs, from draws by hand.

The house is that of ``small``; chances of ways are products of its few numbers.
"""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from by_hand import BATH, F1, F2, KITCHEN, SINK, W1, W2, Draw, population, sample, thin_of

from small import PASSAGES, evidence_of, finds, graph, look
from wainscot.diagnosis.misfits import members, misfits
from wainscot.diagnosis.runs import (
    MOST,
    likeliest,
    short_words,
    source_words,
    way_to_each,
    words_of,
)
from wainscot.diagnosis.thin import THINNED, components, likeliest_ways, thin

NOW, PAST = 2, 1
BY_FLOOR = Draw(on=(2, 6), used={0: NOW})  # drain, f1, f2, bath
BY_WALL = Draw(on=(2, 3, 4, 5), used={0: NOW})  # drain, f1, f2, w1, w2, bath
SETTLED = Draw(used={3: PAST})  # at the bath itself
UNDRAWN = Draw(on=(7, 4, 5), used={1: NOW})  # kitchen, w1, w2, bath
NOBODY = Draw()


def priors(**chances):
    """The house with other chances of some passages: ``p0=0.05``."""
    changed = [chances.get(f"p{i}", row[2]) for i, row in enumerate(PASSAGES)]
    return graph(prior_open=np.array(changed))


# Picking.


def test_draws_are_picked_by_the_weight_of_their_population_and_keep_all_that_is_theirs():
    # Three to one by evidence, four draws against two: 3/16 each and 2/16 each.
    first = [Draw(on=(p,), used={0: PAST}, load=p % 3) for p in (0, 1, 6, 7)]
    second = [Draw(used={1: NOW}, load=2), Draw(on=(0,), used={1: NOW}, load=1)]
    heavy = sample(population(first, np.log(3.0)), prior=0.5)
    light = sample(population(second), prior=0.5, species="roof rat")
    one, two = thin((heavy, light), 16)
    assert (one.sample, two.sample) == (heavy, light)
    at = [0, 0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 3]
    assert one.load.tolist() == [(0, 1, 0, 1)[k] for k in at]
    assert np.array_equal(one.reach, [first[k].reach for k in at])
    assert np.array_equal(one.source, [[1, 0, 0, 0]] * 12)
    assert [np.flatnonzero(row).tolist() for row in one.on] == [[(0, 1, 6, 7)[k]] for k in at]
    assert two.load.tolist() == [2, 2, 1, 1]
    assert np.array_equal(two.reach, [second[k].reach for k in (0, 0, 1, 1)])
    assert two.on.dtype == np.bool_
    assert two.on.shape == (4, 8)
    assert sum(len(each.load) for each in thin((heavy, light))) == THINNED == 512


def test_populations_of_one_case_are_joined_and_a_case_of_no_weight_gives_no_draws():
    parts = [population([Draw(load=k)], logs) for k, logs in ((0, np.log(3.0)), (1, 0.0))]
    lost = sample(population([Draw(load=2)], -60.0))
    (only,) = thin((lost, sample(*parts)), 4)
    assert only.load.tolist() == [0, 0, 0, 1]


# Connected parts.


def test_parts_are_joined_by_run_passages_between_reached_voids_alone():
    # kitchen and w1; f1 with f2; w2 and bath share an open passage that nobody reaches
    label = components(thin_of([Draw(on=(7, 2, 5), used={0: NOW, 2: PAST}), NOBODY]))
    one, nobody = label.tolist()
    assert nobody == [-1] * 7
    assert [v for v in range(7) if one[v] < 0] == [SINK, W2, BATH]
    assert one[KITCHEN] == one[W1] != one[F1] == one[F2]
    assert (components(thin_of([NOBODY, NOBODY])) == -1).all()


def test_draws_are_parted_from_each_other():
    label = components(thin_of([BY_FLOOR, BY_WALL]))
    assert not set(label[0].tolist()) & set(label[1].tolist()) - {-1}
    assert len(set(label[0][[F1, F2, BATH]].tolist())) == 1


# Likeliest ways.


@pytest.mark.parametrize(("chance", "by_drain"), [(0.3, True), (0.05, False)])
def test_a_way_is_the_one_of_the_greatest_product(chance, by_drain):
    # To the kitchen from the drain: 0.4 x 0.4 x chance, so 0.048 or 0.008; its own way in: 0.03.
    drawn = thin_of([Draw(on=(0, 1), used={0: NOW, 1: PAST})], house=priors(p0=chance))
    before, source = likeliest_ways(drawn)
    assert before.tolist() == [[SINK if by_drain else KITCHEN, F1, F1, -1, -1, -1, -1]]
    assert source.tolist() == [[-1 if by_drain else 1, -1, 0, -1, -1, -1, -1]]


def test_a_way_goes_round_where_that_is_likelier():
    # f2 to the bath: 0.15 straight on; by the walls 0.25 x 0.10 x 0.45; with 0.9 each 0.73.
    both = Draw(on=(2, 3, 4, 5, 6), used={0: NOW})
    for house, last in ((graph(), F2), (priors(p3=0.9, p4=0.9, p5=0.9), W2)):
        before, source = likeliest_ways(thin_of([both, NOBODY], house=house))
        assert before[0, BATH] == last
        assert source.tolist() == [[-1, -1, 0, -1, -1, -1, -1], [-1] * 7]
        assert before[1].tolist() == [-1] * 7
        assert (before.dtype, source.dtype) == (np.int32, np.int32)


def test_what_the_signs_say_of_a_way_in_counts_in_its_share():
    # 0.6 : 0.1 : 0.3 against 0.6 : 0.02 : 0.06 once a find made its use less likely by five:
    # used at all 0.08 of 0.68, about 0.118; by the drain to the kitchen 0.118 x 0.12 = 0.014.
    less = msgspec.structs.replace(
        evidence_of([]), source_factor=np.array([[1, 0.2, 0.2], *[[1, 1, 1]] * 4])
    )
    both = [Draw(on=(0, 1), used={0: NOW, 1: PAST})]
    before, _ = likeliest_ways(thin_of(both, evidence=less))
    assert before[0, KITCHEN] == KITCHEN
    # Twice as likely in every state says nothing: 0.048 against 0.03 as before.
    same = msgspec.structs.replace(less, source_factor=2.0 * np.ones((5, 3)))
    assert likeliest_ways(thin_of(both, evidence=same))[0][0, KITCHEN] == SINK


@pytest.mark.parametrize(("drain", "stays"), [((0.6, 0.1, 0.3), 0), ((0.98, 0.01, 0.01), 2)])
def test_of_two_used_ways_in_at_one_void_the_likelier_stands(drain, stays):
    # The undrawn one and the settled one at w1 are idle together in 0.95 x 0.996 = 0.946.
    rows = graph().source_prior.copy()
    rows[0] = drain
    house = graph(source_void=np.array([W1, W1, W1, KITCHEN, BATH]), source_prior=rows)
    # both at w1 here: a draw may use both, or one of them
    drawn = [Draw(on=(4,), used={0: NOW, 2: NOW}), Draw(used={0: NOW}), Draw(used={2: NOW})]
    for one in drawn:
        one.reach = [0, 0, 0, 0, NOW, NOW if one.on else 0, 0]
    _, source = likeliest_ways(thin_of(drawn, house=house))
    assert source[:, W1].tolist() == [stays, 0, 2]
    assert (np.delete(source, W1, axis=1) == -1).all()


# Words of runs.


def test_a_way_in_is_told_from_what_lies_beyond_inwards():
    house = graph(
        source_pool=("drain, under the yard", "outside, north side", "settled", "", "settled")
    )
    one = sample(house=house)
    assert source_words(one, 0) == "drain > broken drain under the sink units"
    assert source_words(one, 1) == "outside > a way in nobody drew"
    assert source_words(one, 2) == "outside, north side > a way in nobody drew"
    assert source_words(one, 3) == "already inside"
    bare = sample(house=graph(source_pool=("", *house.source_pool[1:])))
    assert source_words(bare, 0) == "broken drain under the sink units"


def test_of_merged_ways_in_the_likelier_gives_the_words_and_never_is_no_use():
    rows = graph().source_prior.copy()
    rows[1], rows[2] = (0.97, 0.015, 0.015), (0.96, 0.04, 0.0)
    assert source_words(sample(house=graph(source_prior=rows)), 2) == "already inside"


def test_bays_of_one_wall_in_a_row_are_told_as_one():
    house = graph(kinds=("room", *["joist bay"] * 5, "under bath"), owners=("k", *["g"] * 5, "b"))
    assert words_of(house, ("drain", (SINK,), "x")) == "drain > sink units C1"
    assert words_of(house, ("drain", (SINK, F1), "x")) == "drain > joist bays C1 and F1"
    assert words_of(house, ("drain", (SINK, F1, F2, BATH), "x")) == (
        "drain > joist bays C1 to F2 > under the bath B1")  # fmt: skip
    assert words_of(graph(), ("drain", (F2, W1, W2), "x")) == (
        "drain > joist bay F2 > stud bays W1 and W2")  # fmt: skip
    assert short_words(graph(), W1) == "stud bay W1"


# Runs.


def test_runs_are_counted_over_the_draws_that_reach_the_target():
    drawn = thin_of([BY_FLOOR] * 6 + [BY_WALL] * 3 + [UNDRAWN] + [NOBODY] * 90)
    told = likeliest((drawn,), ["bath"])
    assert [(one.share, one.voids, one.source) for one in told] == [
        (0.6, ("f1", "f2", "bath"), "drain"),
        (0.3, ("f1", "f2", "w1", "w2", "bath"), "drain"),
    ]
    assert told[0].words == (
        "drain > broken drain under the sink units > joist bays F1 and F2 > under the bath B1"
    )
    assert likeliest((thin_of([NOBODY]),), ["bath", "no such void"]) == ()
    assert way_to_each((drawn,), ["bath", "sink", "nowhere"]) == {"bath": told[0]}


@pytest.mark.parametrize(("times", "told"), [(9, True), (10, False)])
def test_a_run_is_told_from_one_draw_in_ten_on(times, told):
    found = likeliest((thin_of([BY_FLOOR] * times + [BY_WALL]),), ["bath"])
    assert [one.share for one in found] == (
        [pytest.approx(0.9), pytest.approx(0.1)] if told else [pytest.approx(10 / 11)]
    )


def test_ways_past_like_bays_count_as_one_and_the_commonest_gives_the_words():
    # f1 and f2 are bays of one floor; here sink, w1 and w2 are too, so that both ways are one.
    house = graph(kinds=("room", *["joist bay"] * 5, "under bath"),
                  owners=("kitchen", *["ground"] * 5, "bath"))  # fmt: skip
    drawn = [BY_WALL] * 4 + [BY_FLOOR] * 5 + [SETTLED]
    first, second = likeliest((thin_of(drawn, house=house),), ["bath"])
    assert (first.share, first.voids) == (0.9, ("f1", "f2", "bath"))
    assert (second.share, second.voids, second.source) == (0.1, ("bath",), "s_bath")
    assert second.words == "already inside > under the bath B1"


def test_ways_of_several_cases_are_counted_together_and_a_tie_goes_by_the_first_case():
    one, two = thin_of([BY_FLOOR, BY_WALL]), thin_of([BY_WALL, BY_FLOOR], guess="other")
    found = likeliest((one, two), ["bath"])
    assert [run.share for run in found] == [0.5, 0.5]
    assert {run.voids[-2] for run in found} == {"f2", "w2"}


def test_every_target_has_its_best_run_before_any_second_and_beginnings_are_left_out():
    drawn = thin_of([BY_FLOOR] * 3 + [SETTLED] * 2 + [UNDRAWN] + [Draw(on=(1,), used={0: NOW})] * 4)
    # bath: 3 of 6 by the floor, 2 settled; sink: always from f1; f2: by the floor, which the
    # run to the bath goes on from.
    told = likeliest((drawn,), ["f2", "bath", "sink"])
    assert [(one.voids, round(one.share, 9)) for one in told] == [
        (("f1", "sink"), 1.0),
        (("f1", "f2", "bath"), 0.5),
        (("bath",), round(1 / 3, 9)),
    ]
    assert likeliest((drawn,), ["f2", "bath", "sink"], 1) == told[:1]
    assert MOST == 3
    four = thin_of([Draw(used={0: NOW, 1: NOW, 2: NOW, 3: NOW})])
    assert len(likeliest((four,), ["kitchen", "f1", "w1", "bath"])) == 3
    # The same run asked for twice is told once.
    assert len(likeliest((four,), ["f1", "f1"])) == 1


# Signs that do not fit.

FAR = look("far", (BATH,), finds("droppings", "heaps"), grade="photographed", finished=False)


def unfit(draws, *placed, **options):
    return misfits((thin_of(draws, evidence=evidence_of(list(placed)), **options),))


@pytest.mark.parametrize(("draws", "told", "near"), [
    ([BY_FLOOR] * 5 + [NOBODY] * 5, False, ""),
    ([BY_FLOOR] * 4 + [NOBODY] * 6, True, "under the bath B1"),
    ([BY_FLOOR] * 5 + [SETTLED] * 5, False, ""),
    ([BY_FLOOR] * 4 + [SETTLED] * 6, True, "under the bath B1"),
    ([BY_FLOOR] + [UNDRAWN] * 2, True, "kitchen"),
    ([UNDRAWN, UNDRAWN, SETTLED], True, "kitchen or under the bath B1"),
    ([NOBODY], True, "under the bath B1"),
])  # fmt: skip
def test_a_sign_fits_where_half_the_draws_reach_it_and_half_of_these_by_a_drawn_way(
    draws, told, near
):
    found = unfit(draws, FAR)
    assert [one.inspection for one in found] == ["far"] * told
    for one in found:
        reached = sum(each.reach[BATH] > 0 for each in draws)
        assert one.near == near
        assert one.expected_false == pytest.approx(1 - reached / len(draws))
        assert one.words == evidence_of([FAR]).statements[0].words


def test_the_likeliest_two_places_of_a_missing_way_in_are_told():
    third = Draw(on=(4, 5), used={2: PAST})  # w1, w2, bath
    found = unfit([SETTLED] * 3 + [UNDRAWN] * 2 + [third], FAR)
    assert found[0].near == "under the bath B1 or kitchen"
    tie = unfit([UNDRAWN, third], FAR)  # by name where they are alike
    assert tie[0].near == "kitchen or stud bay W1, kitchen north wall"


def test_a_used_way_in_counts_only_for_the_part_that_it_feeds():
    # The drain is used and feeds f1 alone; the bath is fed by the settled colony.
    found = unfit([Draw(used={0: NOW, 3: NOW})], FAR)
    assert [one.near for one in found] == ["under the bath B1"]
    # A drawn way in beside an undrawn one of the same part explains it.
    assert unfit([Draw(on=(2, 6), used={0: NOW, 3: NOW})], FAR) == ()


def test_inspections_are_told_by_id_each_by_all_its_voids_and_empty_looks_not_at_all():
    either = look("a", (F2, BATH), finds("droppings", "heaps"), finished=False)
    empty = look("b", (W2,), share_seen=0.9)
    hole = look("c", (), finds("rub mark", "clear"), source=0, share_seen=1.0)
    ear = look("d", (), finds("sound"), zone=(W1, W2), method="ear", finished=False)
    found = unfit([Draw(on=(2,), used={0: NOW})] * 2 + [NOBODY], FAR, ear, hole, empty, either)
    assert [(one.inspection, one.near) for one in found] == [
        ("d", "stud bay W1, kitchen north wall or stud bay W2, kitchen north wall"),
        ("far", "under the bath B1"),
    ]
    assert [one.expected_false for one in found] == [1.0, 1.0]
    said = thin_of([NOBODY], evidence=evidence_of([FAR, ear, hole, either]))
    wide = look("w", (), finds("sound"), zone=(F2, W1, W2), method="ear", finished=False)
    assert unfit([NOBODY], wide)[0].near == f"{graph().words[F2]} or {graph().words[W1]}"
    # A smell is of no one void; what was found beside it still is.
    both = look("s", (BATH,), finds("droppings", "heaps"), finds("odour", "strong"))
    assert [one.near for one in unfit([NOBODY], both)] == [graph().words[BATH]]
    spoken = {one.key: members(said, one).tolist()
              for one in said.sample.case.evidence.statements if one.positive}  # fmt: skip
    assert spoken == {"a": [F2, BATH], "c": [], "d": [W1, W2], "far": [BATH]}


def test_draws_of_several_cases_are_counted_together():
    evidence = evidence_of([FAR])
    rat = thin_of([BY_FLOOR] * 2, evidence=evidence)
    mouse = thin_of([NOBODY] * 3, evidence=evidence, species="house mouse")
    (one,) = misfits((rat, mouse))
    assert one.expected_false == pytest.approx(0.6)
    assert misfits((rat, rat, mouse)) == ()

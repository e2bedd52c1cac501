"""What changed rates make of a few draws written by hand, and the words that are made of it."""

from __future__ import annotations

from math import log
from types import SimpleNamespace
from typing import ClassVar

import msgspec
import numpy as np
import pytest
from by_hand import BATH, F1, F2, KITCHEN, SINK, W1, Draw, likelihood, population, sample

from small import evidence_of, finds, graph, look, usual
from wainscot.book import DEFAULT as BOOK
from wainscot.book import read_book
from wainscot.diagnosis import Case, Effort
from wainscot.diagnosis import sensitivity as step
from wainscot.diagnosis.posterior import FIELDS, Chances
from wainscot.diagnosis.sensitivity import (
    BandChange,
    Effect,
    Range,
    Sensitivity,
    Trial,
    Tried,
    Under,
    lines,
)
from wainscot.job import Job
from wainscot.signs import DEFAULT, without
from wainscot.signs.scaling import RateName

SOIL, FALSE = RateName("soil", "narrow", ""), RateName("soil", "wide", "")
EFFORT = Effort(3, 2, 8)
DRAWS = [Draw(on=(2, 6), used={0: 2}, load=1), Draw(on=(0, 1), used={0: 1, 2: 2}, load=2),
         Draw(used={3: 1, 1: 2})]  # fmt: skip
MORE = [Draw(), Draw(on=(4,), used={2: 1}, soil={W1: 2})]


def effect(**changed):
    fields = {
        "rate": "droppings: false alarms", "factor": 2.0, "bands": (), "next_check": "",
        "moved": 0.01, "void": "under the bath B1", "chance": (0.20, 0.36), "rerun": False,
    }  # fmt: skip
    return Effect(**{**fields, **changed})


def change(label, was="leave", now="open"):
    return BandChange(label.lower(), label, f"bay {label}", was, now)


# Lines.


def test_a_line_says_the_rate_how_it_is_off_and_what_would_change():
    assert step._line(effect()) == (
        "droppings: false alarms, doubled: most moved: under the bath B1, 20 > 35"
    )
    assert step._line(effect(factor=0.5, rerun=True, chance=(0.99, 0.01))) == (
        "droppings: false alarms, halved: most moved: under the bath B1, >95 > <5 (drawn anew)"
    )
    one = effect(bands=(change("B1", "open", "leave"),))
    assert step._line(one) == (
        "droppings: false alarms, doubled: B1 open > leave; "
        "most moved: under the bath B1, 20 > 35")  # fmt: skip
    two = effect(bands=(change("B1"), change("B2"), change("B3")), next_check="look at B2")
    assert step._line(two) == (
        "droppings: false alarms, doubled: next check look at B2; B1 leave > open and 2 more; "
        "most moved: under the bath B1, 20 > 35")  # fmt: skip


def test_rates_that_change_a_band_or_the_next_check_are_counted_once_and_told_first():
    both = effect(bands=(change("B1"),)), effect(bands=(change("B1"),), factor=0.5)
    check, little = effect(rate="a", next_check="B2"), effect(rate="b")
    told = lines(Sensitivity((*both, check, little), "B1", 9, 4, 100))
    assert told == [
        "9 judged rates of the signs, each halved and doubled in turn: "
        "2 of them change a band or the next check.",
        "Next check as judged: B1", *map(step._line, (*both, check)),
    ]  # fmt: skip
    none = lines(Sensitivity((little,), "", 9, 4, 100))
    assert none == [
        "9 judged rates of the signs, each halved and doubled in turn: 0 of them change a band.",
        step._line(little),
    ]
    many = Sensitivity(tuple(effect(next_check=str(n)) for n in range(14)), "B1", 9, 4, 100)
    assert len(lines(many)) == 2 + 12 + 1
    assert lines(many)[-1] == "2 more change a band or the next check, all of them less."
    assert lines(many, 14)[-1] == step._line(many.effects[-1])
    assert lines(many, 13)[-1].startswith("1 more")


# Every rate in turn.


class FakeTrial:
    """Says what it is told by rate and factor, in place of a trial on draws."""

    effects: ClassVar = {}
    unders: ClassVar = {}
    given: ClassVar = ()

    def __init__(self, *given):
        type(self).given = given
        self.graph, self.next_now = graph(), "B1"
        self.all = [SimpleNamespace(base=np.zeros(3)), SimpleNamespace(base=np.zeros(4))]
        self.outlook = np.array([[0.1] * 7, [0.2] * 7, [0.05, 0.05, 0.05, 0.05, 0.05, 0.05, 0.9]])

    def effect(self, name, factor):
        return self.effects.get((name, factor))

    def under(self, name, factor):
        return self.unders.get((name, factor))


@pytest.fixture
def tried(monkeypatch):
    """Two rates; asked for: what was drawn from, with which stage."""
    asked = []
    monkeypatch.setattr(step, "judged_rates", lambda rates: (SOIL, FALSE))
    monkeypatch.setattr(step, "worth_drawing", lambda found, effort, progress: (
        asked.append((found, effort, progress)), (found[:1], ()))[1])  # fmt: skip
    monkeypatch.setattr(step, "sample_cases", lambda kept, effort, stage, progress: (
        asked.append((kept, effort, stage, progress)), "drawn")[1])  # fmt: skip
    monkeypatch.setattr(step, "Trial", FakeTrial)
    return asked


RAT = Case("norway rat", "", 0.5, graph(), evidence_of([]))
TIED = tuple(
    Case(name, "b", 0.25, graph(), evidence_of([])) for name in ("roof rat", "house mouse")
)


def test_the_most_telling_rate_comes_first_and_silent_ones_are_counted(monkeypatch, tried):
    check = effect(next_check="B2", moved=0.01)
    bands = effect(rate="x", bands=(change("B1"), change("B2")), moved=0.02)
    other = effect(rate="w", moved=0.3)
    names = [RateName("soil", f"{n}", "") for n in range(5)]
    monkeypatch.setattr(step, "judged_rates", lambda rates: names if rates is DEFAULT else ())
    monkeypatch.setattr(FakeTrial, "effects", {
        (names[0], 0.5): other, (names[1], 2.0): bands, (names[1], 0.5): check,
        (names[3], 0.5): effect(rate="a", moved=0.3 + 1e-12),
        (names[3], 2.0): effect(rate="z", moved=0.31),
    })  # fmt: skip
    shares, ask = [], print
    told = step.of_cases((*TIED, RAT), effort=EFFORT, next_check=ask, progress=shares.append)
    assert [one.rate for one in told.effects] == ["droppings: false alarms", "x", "z", "a", "w"]
    assert (told.rates, told.silent, told.draws, told.next_check) == (5, 2, 7, "B1")
    assert shares == pytest.approx([0.2, 0.4, 0.6, 0.8, 1.0])
    assert tried == [((RAT, TIED[1], TIED[0]), EFFORT, None), ((RAT,), EFFORT, "full", None)]
    assert FakeTrial.given == ("drawn", EFFORT, BOOK, DEFAULT, ask)
    assert step.of_cases((RAT,), effort=EFFORT) == told


def test_the_range_of_a_hidden_void_runs_from_its_least_to_its_greatest_chance(monkeypatch, tried):
    def under(last, sink=0.35):
        rows = np.zeros((3, 7))
        rows[0], rows[1, SINK], rows[2, BATH] = 0.3, sink - 0.3, last - 0.3
        return SimpleNamespace(outlook=rows)

    monkeypatch.setattr(
        FakeTrial,
        "unders",
        {(SOIL, 0.5): under(0.4), (FALSE, 2.0): under(0.9, 0.3449), (SOIL, 2.0): under(0.98)},
    )
    shares = []
    told = step.ranges_of_cases((*TIED, RAT), effort=EFFORT, progress=shares.append)
    assert list(told) == ["sink", "f1", "f2", "w1", "w2", "bath"]
    assert shares == [0.5, 1.0]
    half, twice, false = (f"{SOIL.words}, halved", f"{SOIL.words}, doubled",
                          f"{FALSE.words}, doubled")  # fmt: skip
    bath, sink = told["bath"], told["sink"]
    # As judged the bath has 0.1 + 0.2 + 0.9, told as one; every other void 0.35.
    assert (bath.low, bath.high, bath.lowest_by, bath.highest_by) == (
        pytest.approx(0.4), 1.0, half, "")  # fmt: skip
    assert [(one.rate, round(one.chance, 9)) for one in bath.tried] == [
        (half, 0.4), (false, 0.9), (twice, 0.98)]  # fmt: skip
    assert (round(sink.low, 9), round(sink.high, 9), sink.lowest_by) == (0.3449, 0.35, false)
    assert [one.rate for one in sink.tried] == [false]
    assert told["f1"].low == pytest.approx(0.3)
    assert tried == [((RAT, TIED[1], TIED[0]), EFFORT, None), ((RAT,), EFFORT, "full", None)]
    assert FakeTrial.given == ("drawn", EFFORT, BOOK, DEFAULT, None)


def test_six_rates_are_told_of_one_void_from_half_a_point_on():
    column = np.array([0.5, 0.5049, 0.506, 0.375, 0.625, 0.5625, 0.4375, 0.75, 0.1875, 0.875])
    order = {"i": 0.875, "h": 0.1875, "g": 0.75, "c": 0.375, "d": 0.625, "e": 0.5625}
    told = step._moving(column, ["", *"abcdefghi"])
    assert told == tuple(Tried(name, chance) for name, chance in order.items())
    few = step._moving(np.array([0.25, 0.245, 0.2551, 0.25]), ["", "a", "b", "c"])
    assert few == (Tried("b", 0.2551), Tried("a", 0.245))
    assert step._moving(np.array([0.25]), [""]) == ()


def test_a_job_is_read_with_the_rates_and_handed_on(monkeypatch):
    asked = []
    monkeypatch.setattr(step, "cases", lambda job, *, rates: (job, rates))
    monkeypatch.setattr(step, "of_cases", lambda found, **more: asked.append((found, more)))
    monkeypatch.setattr(step, "ranges_of_cases", lambda found, **more: asked.append((found, more)))
    job, book = Job("j"), read_book("open_bay = 3")
    step.sensitivity(job, seed=1)
    step.sensitivity(job, seed=2, populations=3, draws=9, threads=4, book=book, next_check=len,
                     progress=print)  # fmt: skip
    step.ranges(job, seed=5)
    step.ranges(job, seed=6, populations=3, draws=9, threads=4, progress=print)
    assert asked == [
        ((job, DEFAULT), {"effort": Effort(1, 8, 4096, None), "book": BOOK, "rates": DEFAULT,
                          "next_check": None, "progress": None}),
        ((job, DEFAULT), {"effort": Effort(2, 3, 9, 4), "book": book, "rates": DEFAULT,
                          "next_check": len, "progress": print}),
        ((job, DEFAULT), {"effort": Effort(5, 8, 4096, None), "rates": DEFAULT, "progress": None}),
        ((job, DEFAULT), {"effort": Effort(6, 3, 9, 4), "rates": DEFAULT, "progress": print}),
    ]  # fmt: skip


def test_where_nothing_is_drawn_every_rate_is_silent(tried):
    empty = Case("norway rat", "", 1.0, SimpleNamespace(keys=()), evidence_of([]))
    assert step.of_cases((empty,), effort=EFFORT) == Sensitivity((), "", 2, 2, 0)
    assert step.ranges_of_cases((empty,), effort=EFFORT) == {}
    assert tried == []


# One rate on draws.


def trial(ask=None, *, book=BOOK, placed=usual, **options):
    own = evidence_of(placed())
    # 3 : 1 between the two cases.
    samples = (sample(population(DRAWS, log(3)), evidence=own, prior=0.5),
               sample(population(MORE), evidence=own, prior=0.5, species="house mouse",
                      void_map=(0, 1, 2, 3, 4, 5, -1)))  # fmt: skip
    return Trial(samples, EFFORT, book, DEFAULT, ask), own


SHARES = [0.25, 0.25, 0.25, 0.125, 0.125]


def by_hand(evidence, shares):
    """Light only, heavy only and nest of every void, over both cases."""
    total = np.zeros((3, 7))
    for one, share, bath in zip([*DRAWS, *MORE], shares, [1, 1, 1, 0, 0], strict=True):
        for v in range(7):
            cells = evidence.detail[evidence.row_of[v]][one.load][one.reach[v]].tolist()
            if v != BATH or bath:
                for k, some in enumerate(([2], [4], [1, 3, 5])):
                    total[k, v] += share * sum(cells[c] for c in some) / sum(cells)
    return total / sum(shares)


def test_chances_as_judged_are_the_weighted_means_over_both_cases():
    one, own = trial()
    assert np.exp(one.base) == pytest.approx(SHARES)
    assert one.outlook == pytest.approx(by_hand(own, SHARES))
    assert one.bands[KITCHEN] in ("leave", "check first")
    assert (one.next_now, one.open) == ("", [True] * 7)
    dear = trial(book=read_book("open_bay = 900\ncheck = 800\n"))[0]
    assert set(dear.bands) == {"leave"}
    opened = trial(placed=lambda: [look("o", (F2,), finds("opened and seen", "heavy"),
                                        method="opened")])[0]  # fmt: skip
    assert opened.open == [v != F2 for v in range(7)]


def test_a_changed_rate_is_weighed_by_what_it_makes_each_draw_worth(monkeypatch):
    one, own = trial()
    other = without(own, "i5")
    asked = []
    monkeypatch.setattr(step, "scaled", lambda *given: (asked.append(given), "changed")[1])
    monkeypatch.setattr(step, "again", lambda given, rates: other if rates == "changed" else own)
    under = one.under(SOIL, 0.5)
    assert asked == [(DEFAULT, SOIL, 0.5)]
    worth = [share * likelihood(other, draw) / likelihood(own, draw)
             for share, draw in zip(SHARES, [*DRAWS, *MORE], strict=True)]  # fmt: skip
    assert under.outlook == pytest.approx(by_hand(other, worth))
    assert np.exp(under.logs - under.logs[0]) == pytest.approx(np.array(worth) / worth[0])
    assert (under.rerun, under.rates, under.others) == (False, "changed", [other, other])
    assert under.least.tolist() == [0.0] * 7
    monkeypatch.setattr(step, "again", lambda given, rates: own)
    assert one.under(SOIL, 0.5) is None
    half = iter([own, other])
    monkeypatch.setattr(step, "again", lambda given, rates: next(half))
    assert one.under(SOIL, 0.5) is not None, "one of two cases says something else"


@pytest.mark.parametrize(
    ("count", "held", "k", "rerun"),
    [(64, 32, 0.69, False), (64, 31, 0.69, True), (64, 64, 0.7, True),
     (1000, 400, 0.0, False), (1000, 399, 0.0, True)],
)  # fmt: skip
def test_draws_are_taken_anew_where_too_few_count(monkeypatch, count, held, k, rerun):
    own = evidence_of(usual())
    parts = sample(population([Draw()] * count), evidence=own)
    one = Trial((parts,), EFFORT, BOOK, DEFAULT, None)
    other = without(own, "i5")
    logs = np.where(np.arange(count) < held, 0.0, -800.0)
    asked = []

    def draw(found, effort, stage, progress):
        asked.append(([each.evidence for each in found], effort, stage, progress))
        return "drawn"

    told = {name: Chances(np.full(7, 0.1 * n), np.full(7, 0.01 * n), np.zeros((2, 7)), np.ones(7))
            for n, name in enumerate(FIELDS, 1)}  # fmt: skip
    monkeypatch.setattr(step, "sample_cases", draw)
    monkeypatch.setattr(step, "void_chances", lambda samples: {"drawn": told}[samples])
    monkeypatch.setattr(step, "again", lambda given, rates: other)
    monkeypatch.setattr(step, "log_ratio", lambda *_: (logs, 0.0))
    monkeypatch.setattr(step, "smooth", lambda given: (given, k))
    under = one.under(SOIL, 2.0)
    assert under.rerun == rerun
    assert asked == [([other], EFFORT, f"{SOIL.words} x 2.0", None)] * rerun
    if rerun:
        # In FIELDS light only, heavy only and nest are the second, third and fifth.
        assert under.outlook[:, 0] == pytest.approx([0.2, 0.3, 0.5])
        assert under.least == pytest.approx([0.03] * 7)


def moved(one, v, by, **changed):
    """A changed outlook: the chance of light soil of one void moved."""
    outlook = one.outlook.copy()
    outlook[0, v] += by
    fields = {"outlook": outlook, "least": np.zeros(7), "logs": one.base, "others": [],
              "rates": DEFAULT, "rerun": False}  # fmt: skip
    return Under(**{**fields, **changed})


def test_an_effect_is_told_from_half_a_point_of_a_hidden_void_on(monkeypatch):
    one, _ = trial()
    one.outlook = np.full((3, 7), 0.125)
    one.bands = one._bands(one.outlook)
    for v, by, told in ((BATH, 0.0051, True), (BATH, -0.0051, True), (BATH, 0.0049, False),
                        (KITCHEN, 0.5, False)):  # fmt: skip
        monkeypatch.setattr(one, "under", lambda *_, v=v, by=by: moved(one, v, by))
        assert (one.effect(SOIL, 0.5) is not None) == told, (v, by)
    monkeypatch.setattr(one, "under", lambda *_: None)
    assert one.effect(SOIL, 0.5) is None


def test_an_effect_names_the_void_that_moves_most_and_every_changed_band(monkeypatch):
    one, _ = trial()
    one.outlook = np.zeros((3, 7))
    one.bands = one._bands(one.outlook)
    assert set(one.bands) == {"leave"}
    under = moved(one, BATH, 0.9)
    under.outlook[0, [F1, F2, KITCHEN]] = 0.2, 0.25, 0.95
    monkeypatch.setattr(one, "under", lambda *given: {(SOIL, 2.0): under}[given])
    told = one.effect(SOIL, 2.0)
    assert (told.rate, told.factor, told.void) == (SOIL.words, 2.0, "under the bath B1")
    assert told.moved == pytest.approx(0.9)
    assert told.chance == pytest.approx((0.0, 0.9))
    words = graph().words
    assert told.bands == (
        BandChange("kitchen", "Kitchen", words[KITCHEN], "leave", "check first"),
        BandChange("f1", "F1", words[F1], "leave", "check first"),
        BandChange("f2", "F2", words[F2], "leave", "check first"),
        BandChange("bath", "B1", words[BATH], "leave", "open"),
    )
    assert (told.next_check, told.rerun) == ("", False)
    # Opened voids have no band to change; drawn anew, a void must move by its own error.
    one.open[F1] = False
    for room, named in ((0.949, ["kitchen", "bath"]), (0.951, ["bath"])):
        least = np.array([room, 0, 0, 0.251, 0, 0, 0.899])
        anew = under._replace(least=least, rerun=True)
        monkeypatch.setattr(one, "under", lambda *_, anew=anew: anew)
        told = one.effect(SOIL, 2.0)
        assert [each.void for each in told.bands] == named
    assert told.rerun
    sure = moved(one, BATH, 1.2)
    monkeypatch.setattr(one, "under", lambda *_: sure)
    assert one.effect(SOIL, 2.0).chance == (0.0, 1.0)


def test_the_next_check_is_asked_with_the_changed_weights_and_soil(monkeypatch):
    asked = []
    answers = iter(["B1", "B1", "B2", "B2"])

    def ask(draws, rates):
        asked.append((draws, rates))
        return next(answers)

    one, own = trial(ask)
    assert one.next_now == "B1"
    assert asked[0][0].weight == pytest.approx(SHARES)
    assert asked[0][1] is DEFAULT
    logs = np.log([1, 2, 3, 4, 10]) + 5
    changed = object()
    # Under the other rows w1 is soiled heavily with a nest whatever reached it.
    detail = np.zeros_like(own.detail)
    detail[..., 5] = 1.0
    same = msgspec.structs.replace(own, row_of=own.row_of + len(own.detail) * (np.arange(7) == W1),
                                   detail=np.concatenate([own.detail, detail]))  # fmt: skip
    under = moved(one, BATH, -0.1, logs=logs, others=[same, same], rates=changed)
    monkeypatch.setattr(one, "under", lambda *_: under)
    assert one.effect(SOIL, 2.0).next_check == ""
    assert one.effect(SOIL, 2.0).next_check == "B2"
    draws, rates = asked[1]
    assert rates is changed
    assert draws.weight == pytest.approx(np.array([1, 2, 3, 4, 10]) / 20)
    assert draws.soil[:, W1].tolist() == [2] * 5
    assert draws.nest[:, W1].all()
    kept = np.delete(np.arange(7), W1)
    assert np.array_equal(draws.soil[:, kept], one.draws.soil[:, kept])
    assert one.draws.soil[:, W1].tolist() == [0, 0, 0, 0, 2], "as drawn"
    asked.clear()
    monkeypatch.setattr(one, "under", lambda *_: under._replace(rerun=True))
    assert one.effect(SOIL, 2.0).next_check == ""
    assert asked == [], "draws that were taken anew are not these"


def test_more_draws_than_4096_are_thinned():
    own = evidence_of([])
    many = population([Draw(used={0: 2})] * 1366, log_evidence=0.0)
    for parts, kept in (((many,) * 2, 2732), ((many,) * 3, 2049)):
        asked = []
        one = Trial((sample(*parts, evidence=own),), EFFORT, BOOK, DEFAULT,
                    lambda draws, _, asked=asked: (asked.append(draws), "x")[1])  # fmt: skip
        assert len(one.base) == len(asked[0].weight) == kept
        assert asked[0].status == "settled"
        assert len(asked[0].mcse) == 7


def test_ends_of_a_range_have_no_rate_where_none_reaches_further(monkeypatch, tried):
    monkeypatch.setattr(FakeTrial, "unders", {})
    told = step.ranges_of_cases((RAT,), effort=EFFORT)
    assert told["f1"] == Range(pytest.approx(0.35), pytest.approx(0.35), "", "", ())

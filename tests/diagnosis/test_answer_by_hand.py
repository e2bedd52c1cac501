"""How draws and chances become the answer, from a few draws and chances written by hand."""

from __future__ import annotations

import hashlib
from itertools import product
from types import SimpleNamespace

import msgspec
import numpy as np
import pytest
from by_hand import BATH, F1, F2, KITCHEN, SINK, W1, Draw, population, sample

from small import evidence_of, finds, graph, look, usual
from wainscot.book import DEFAULT, read_book
from wainscot.diagnosis import Case, Effort, answering, weigh
from wainscot.diagnosis.answer import Hypothesis
from wainscot.diagnosis.answering import Frame, answer, nothing_drawn, unsettled
from wainscot.diagnosis.cautions import cautions
from wainscot.diagnosis.draws import CARRIED, digest_of, gather, log_evidence, no_draws
from wainscot.diagnosis.entries import answers, any_used
from wainscot.diagnosis.kernel import load_module
from wainscot.diagnosis.posterior import FIELDS, Chances, source_chances, void_chances
from wainscot.diagnosis.reasons import Reasons
from wainscot.diagnosis.verdict import ONE_KIND
from wainscot.job import Job
from wainscot.signs import DEFAULT as RATES

HERE = Draw(on=(2, 6), used={0: 2}, soil={F1: 2, BATH: 1}, nest=(BATH,), load=1)
ONCE = Draw(on=(0,), used={1: 1}, soil={SINK: 1})
NEVER = Draw()


def chances_of(count=7, off=(), **means):
    """Chances of voids; those ``off`` are not settled."""
    settled = ~np.isin(np.arange(count), off)
    return {
        name: Chances(
            np.array(means.get(name.replace(" ", "_"), [0.0] * count), dtype=float),
            np.full(count, 0.01 + 0.01 * k), np.array([[0.1] * count, [0.2] * count]), settled,
        )
        for k, name in enumerate(FIELDS)
    }  # fmt: skip


def voids_of(chances, *placed, book=DEFAULT):
    evidence = evidence_of(list(placed))
    reasons = Reasons(graph(), evidence, ())
    return answering._voids((sample(evidence=evidence),), chances, reasons, book)


# Settled.


def test_a_void_is_settled_where_soil_and_now_both_are():
    chances = chances_of(3, off=(1,))
    chances["now"] = chances_of(3, off=(2,))["now"]
    assert unsettled(chances).tolist() == [False, True, True]


@pytest.mark.parametrize(("off", "settled"), [((), True), ((7,), True), ((7, 8), False)])
def test_one_void_in_twenty_may_be_in_disagreement(off, settled):
    alike = (sample(population([HERE]), population([HERE])),)
    assert answering.is_settled(alike, chances_of(20, off=off)) == settled
    assert answering.is_settled(alike, chances_of(0))
    assert not answering.is_settled((sample(population([HERE])),), chances_of(20))


# Voids.


def test_every_field_of_a_void_is_the_chance_of_its_name():
    seen = look("o", (F2,), finds("opened and seen", "heavy"), method="opened")
    chances = chances_of(
        soiled=[0.9, 0.1, 1.0 + 1e-12, 0.5, 0.15, -1e-12, 0.02], ever=[0.95, 0, 1.5, 0, 0, -1, 0],
        now=[0.5, 0, 1.5, 0, 0, -1, 0], heavy=[0.6, 0, 1.5, 0, 0, -1, 0],
        nest=[0.1, 0, 0.3, 0, 0, -1, 0], light_only=[0.3, 0, 0.2, 0, 0.15, 0, 0],
        heavy_only=[0.5, 0, 0.5, 0, 0, 0, 0], off=(SINK,),
    )  # fmt: skip
    found = {one.id: one for one in voids_of(chances, seen)}
    assert list(found) == ["f1", "kitchen", "f2", "w1", "sink", "bath", "w2"]
    room, bay, last = found["kitchen"], found["f1"], found["w2"]
    assert (room.label, room.kind, room.words) == ("Kitchen", "room", "kitchen")
    assert (room.storey, room.hidden, bay.hidden) == ("ground", False, True)
    assert (room.soiled, room.ever, room.now, room.heavy, room.nest) == (0.9, 0.95, 0.5, 0.6, 0.1)
    assert (bay.soiled, bay.ever, bay.now, bay.heavy, bay.nest) == (1.0, 1.0, 1.0, 1.0, 0.3)
    assert (last.soiled, last.ever, last.now, last.heavy, last.nest) == (0.0,) * 5
    # In the order of FIELDS the errors are 0.01, 0.02 ...: soiled is the first, now the last.
    assert room.soiled_error == pytest.approx(0.01)
    assert room.now_error == pytest.approx(0.07)
    assert room.halves == (0.1, 0.2)
    assert [found[key].band for key in ("kitchen", "f1", "f2", "w1", "sink", "bath")] == [
        "check first", "open", "seen", "check first", "can't tell yet", "leave"]  # fmt: skip
    assert [one.id for one in found.values() if not one.settled] == ["sink"]
    assert (found["f2"].seen, found["f2"].reason, found["f2"].looked) == ("heavy", "seen: heavy", 1)
    assert (bay.seen, bay.reason, bay.looked) == ("", "nobody looked", 0.0)


def test_the_firm_s_own_rates_set_the_bands():
    chances = chances_of(light_only=[0.0] * 6 + [0.2], soiled=[0.0] * 6 + [0.2])
    dear = read_book("open_bay = 50\ncheck = 20\n")
    assert voids_of(chances)[0].band == "check first"
    assert voids_of(chances, book=dear)[0].band == "leave"


def test_chances_alike_to_a_billionth_go_by_id():
    soiled = [0.5, 0.5 + 4e-10, 0.5, 0.5 - 4e-10, 0.5, 0.5, 0.5 + 2e-9]
    told = [one.id for one in voids_of(chances_of(soiled=soiled))]
    assert told == ["bath", "f1", "f2", "kitchen", "sink", "w1", "w2"]


def _said(key, ever=0.9, nest=0.0, *, hidden=True, seen=""):
    return SimpleNamespace(id=key, ever=ever, nest=nest, hidden=hidden, seen=seen)


def test_runs_are_looked_for_to_four_voids_with_a_find_and_to_the_two_likeliest_nests():
    found = [look(f"i{v}", (v,), finds("droppings", "many"), share_seen=0.5) for v in range(6)]
    samples = (sample(evidence=evidence_of([*found, look("none", (BATH,), share_seen=0.9)])),)
    ids = graph().keys
    every = tuple(_said(key) for key in ids)
    # All like: the first four with a find; nests by id: bath, and f1, which is one of them.
    assert answering._targets(samples, every) == ["kitchen", "sink", "f1", "f2", "bath"]
    few = (_said("kitchen", 0.5, 0.9, hidden=False), _said("sink", 0.49), _said("bath", 0.5, 0.2),
           _said("w1", 0.5, 0.3), _said("w2", 0.49, 0.8), _said("f1", 0.5, 0.1))  # fmt: skip
    assert answering._targets(samples, few) == ["kitchen", "w1", "f1"]
    assert answering._targets((sample(),), few[2:4]) == ["w1", "bath"]
    assert answering._targets((sample(),), ()) == []


def test_contributions_are_asked_of_the_first_eight_hidden_voids_that_nobody_opened():
    every = [_said(f"v{n}") for n in range(11)]
    every[1], every[2] = _said("v1", hidden=False), _said("v2", seen="light")
    index = {one.id: 20 - n for n, one in enumerate(every)}
    ids, at = answering._interest(tuple(every), index)
    assert ids == ("v0", "v3", "v4", "v5", "v6", "v7", "v8", "v9")
    assert at.tolist() == [20, 17, 16, 15, 14, 13, 12, 11]
    assert answering._interest((), {})[1].tolist() == []


@pytest.mark.parametrize(("draws", "fewer"), [(4096, 1024), (1024, 256), (100, 256)])
def test_new_draws_without_an_inspection_are_taken_once_with_a_quarter_of_the_draws(
    monkeypatch, draws, fewer
):
    asked = []

    def draw(found, effort, stage, progress):
        asked.append((found, effort, stage, progress))
        return "drawn"

    monkeypatch.setattr(answering, "sample_cases", draw)
    told = {"drawn": chances_of(soiled=[0.1 * v for v in range(7)])}
    monkeypatch.setattr(answering, "void_chances", lambda samples: told[samples])
    samples = (sample(evidence=evidence_of(usual())), sample(evidence=evidence_of(usual())))
    reruns = answering._Reruns(samples, Effort(5, 8, draws, 2))
    of = reruns.of(np.array([6, 1], dtype=np.int32))
    assert of("i5") == pytest.approx([0.6, 0.1])
    assert reruns.of(np.array([2]))("i5") == pytest.approx([0.2])
    ((found, effort, stage, progress),) = asked
    assert (effort, stage, progress) == (Effort(5, 8, fewer, 2), "without i5", None)
    for one in found:
        assert {each.key for each in one.evidence.statements} == {
            "i1", "i2", "i3", "i4", "i6", "i7"}  # fmt: skip
        assert one.graph.keys == graph().keys
    assert list(reruns.soiled) == ["i5"]
    assert of("i1") is not of("i5")


# Cases.


def test_what_a_pilot_dropped_keeps_its_weight_and_the_others_share_the_rest():
    # 3 : 1 among those drawn, of 0.9.
    one = sample(population([HERE], np.log(2.0)), population([HERE], np.log(4.0)), prior=0.5)
    two = sample(population([HERE], 0.0), prior=0.5, species="roof rat", guess="g")
    dropped = (Hypothesis("roof rat", "a", 0.05, -9.0), Hypothesis("house mouse", "b", 0.05, -8.0))
    told = answering._hypotheses((one, two), dropped)
    assert [(each.species, each.guess) for each in told] == [
        ("norway rat", ""), ("roof rat", "g"), ("house mouse", "b"), ("roof rat", "a")]  # fmt: skip
    assert [each.weight for each in told] == pytest.approx([0.675, 0.225, 0.05, 0.05])
    assert [each.log_evidence for each in told] == pytest.approx([np.log(3.0), 0.0, -8.0, -9.0])


def test_animals_were_anywhere_where_a_draw_reaches_any_void():
    one = sample(population([HERE, ONCE, NEVER, NEVER]))
    assert answering._anywhere((one,)) == pytest.approx((0.5, 0.25))


def test_the_answer_carries_all_that_goes_with_it(monkeypatch):
    placed = [look("i1", (BATH,), finds("droppings", "many"), share_seen=0.5),
              look("lost", (), finds("droppings"))]  # fmt: skip
    evidence = msgspec.structs.replace(evidence_of(placed[:1]), unplaced=("lost",))
    parts = (population([HERE] * 4 + [NEVER], digest="one"), population([HERE] * 4 + [NEVER]))
    samples = (sample(*parts, evidence=evidence, assumptions=("joists guessed",)),)
    dropped = (Hypothesis("roof rat", "", 0.2, -9.0),)
    frame = Frame(Effort(17, 2, 10), DEFAULT, ("a rate",), ("care",), True)
    asked = []

    def draw(found, effort, stage, progress):
        asked.append(stage)
        return samples

    monkeypatch.setattr(answering, "sample_cases", draw)
    chances = void_chances(samples)
    diagnosis, draws = answer(samples, dropped, chances, frame)
    assert diagnosis.assumptions == (ONE_KIND, "joists guessed")
    assert (diagnosis.unplaced, diagnosis.judged) == (("lost",), ("a rate",))
    assert diagnosis.cautions == ("care",)
    assert (diagnosis.draws, diagnosis.seed, diagnosis.module) == (10, 17, "c")
    assert diagnosis.digest == draws.key == hashlib.sha256(b"onea").hexdigest()
    assert not diagnosis.settled
    assert draws.status == "not settled"
    assert diagnosis.verdict.startswith("Not settled, take it as rough: Norway rats at least (")
    # 4 of 5 draws have them here now.
    assert ", here now: likely (about 8 in 10); " in diagnosis.verdict
    assert "broken drain under the sink units (likely, about 8 in 10)" in diagnosis.verdict
    assert [one.inspection for one in diagnosis.misfits] == []
    assert [one.weight for one in diagnosis.hypotheses] == pytest.approx([0.8, 0.2])
    assert [one.voids for one in diagnosis.runs] == [("f1", "f2", "bath")]
    assert next(one.id for one in diagnosis.entries) == "drain"
    # Without the find nothing else would be drawn: what is run anew says the same as before.
    assert asked == ["without i1"]
    assert diagnosis.contributions == ()
    assert np.array_equal(draws.mcse, chances["soiled"].error)
    assert draws.why is not None
    assert list(draws.why.words) == ["i1"]
    assert draws.why.voids["bath"].weighs == ()
    plain = answer(samples, (), chances, msgspec.structs.replace(frame, why=False))
    assert plain[1].why is None
    assert plain[0].assumptions == ("joists guessed",)


def test_a_job_without_a_void_is_told_as_such_with_its_cases():
    evidence = msgspec.structs.replace(evidence_of([]), unplaced=("lost",))
    rat = Case("norway rat", "g", 0.75, graph(), evidence, ("guessed",))
    mouse = Case("house mouse", "", 0.25, graph(), evidence)
    frame = Frame(Effort(17, 2, 10), DEFAULT, ("a rate",), ("care",))
    diagnosis, draws = nothing_drawn((rat, mouse), frame)
    assert diagnosis.verdict.startswith("Nothing is drawn yet")
    assert diagnosis.hypotheses == (
        Hypothesis("norway rat", "g", 0.75, 0.0),
        Hypothesis("house mouse", "", 0.25, 0.0),
    )
    parts = ("voids", "entries", "runs", "contributions", "misfits")
    assert [getattr(diagnosis, name) for name in parts] == [()] * 5
    assert (diagnosis.unplaced, diagnosis.assumptions) == (("lost",), ("guessed",))
    assert (diagnosis.judged, diagnosis.cautions) == (("a rate",), ("care",))
    assert (diagnosis.settled, diagnosis.draws, diagnosis.seed) == (None, 0, 17)
    assert diagnosis.module == load_module()[2]
    assert diagnosis.digest == draws.key == hashlib.sha256(b"").hexdigest()


# All draws.


def test_draws_of_all_cases_stand_in_the_answer_s_numbering():
    first = sample(population([HERE, ONCE], np.log(3.0)), prior=0.5)
    # A house without bath and drain, its passages counted backwards, its kitchen told as sink.
    other = graph(passage_keys=(*tuple(f"p{7 - p}" for p in range(7)), "unknown"), guess="other")
    second = sample(population([HERE, NEVER, ONCE]), population([ONCE]), house=other, prior=0.5,
                    void_map=(1, 0, 2, 3, 4, 5, -1), source_map=(-1, 1, 2, 3, 4),
                    species="house mouse", guess="other")  # fmt: skip
    told = gather((first, second), True, np.arange(7.0))
    # 3 : 1 : 1 by evidence, the second case's shared among two: 6 : 1 : 1.
    share = [6 / 16] * 2 + [1 / 24] * 3 + [1 / 8]
    assert told.weight == pytest.approx(share)
    assert told.case.tolist() == [0, 0, 1, 1, 1, 1]
    assert told.cases == (("norway rat", ""), ("house mouse", "other"))
    draws = [HERE, ONCE, HERE, NEVER, ONCE, ONCE]
    for k, one in enumerate(draws):
        index = range(7) if k < 2 else (1, 0, 2, 3, 4, 5, -1)
        for column, v in enumerate(index):
            reach, soil, nest = ((part[v] if v >= 0 else 0) for part in (
                one.reach, one.soil, one.nest))  # fmt: skip
            assert told.ever[k, column] == (reach > 0)
            assert told.now[k, column] == (reach == 2)
            assert (told.soil[k, column], told.nest[k, column]) == (soil, nest)
        on = np.flatnonzero(np.unpackbits(told.run[k], bitorder="little")).tolist()
        assert on == sorted(p if k < 2 else 7 - p for p in one.on if k < 2 or p < 7)
    assert told.entry.tolist() == [
        [2, 0, 0, 0, 0],
        [0, 0, 0, 1, 0],
        [0] * 5,
        [0] * 5,
        [0, 0, 0, 1, 0],
        [0, 0, 0, 1, 0],
    ]
    assert (told.entry.dtype, told.soil.dtype) == (np.uint8, np.uint8)
    assert told.log_evidence == pytest.approx([np.log(3.0), 0.0])
    assert (told.void_ids, told.entry_ids) == (graph().keys, graph().source_keys)
    assert told.passage_ids == graph().passage_keys
    assert told.samples == (first, second)
    assert (told.status, told.why) == ("settled", None)
    assert told.mcse.tolist() == list(range(7))
    assert CARRIED == 2000


def test_a_state_of_merged_ways_in_stands_at_the_likelier():
    # w1: undrawn 0.05 used, settled 0.004; the bath's settled one has its own column.
    told = gather((sample(population([Draw(used={2: 1}), Draw(used={3: 2})])),), True, np.zeros(7))
    assert told.entry.tolist() == [[0, 1, 0, 0, 0], [0, 0, 0, 0, 2]]


def test_a_digest_hangs_on_the_results_and_not_on_the_order_of_the_cases():
    a = sample(population([HERE], digest="1"), population([HERE], digest="2"), guess="b")
    b = sample(population([HERE], digest="3"), guess="a", species="roof rat")
    c = sample(population([HERE], digest="4"), guess="a", species="house mouse")
    whole = hashlib.sha256(b"4312").hexdigest()
    assert digest_of((a, b, c)) == digest_of((c, b, a)) == whole
    assert log_evidence(a) == 0.0
    mean = sample(population([HERE], -1000.0), population([HERE], -1000.0 + np.log(3.0)))
    assert log_evidence(mean) == pytest.approx(-1000.0 + np.log(2.0))


def test_no_draws_are_none_of_everything():
    none = no_draws()
    assert (none.void_ids, none.entry_ids, none.passage_ids, none.cases) == ((), (), (), ())
    for name in ("entry", "ever", "now", "soil", "nest", "run"):
        assert getattr(none, name).shape == (0, 0), name
    for name in ("weight", "case", "log_evidence", "mcse"):
        assert getattr(none, name).shape == (0,), name
    assert (none.ever.dtype, none.soil.dtype) == (np.bool_, np.uint8)
    assert (none.status, none.key) == ("settled", digest_of(()))


# Ways in.


def parted(state):
    """Chances of (undrawn, settled) at w1 given the later of the two, by listing them."""
    rows = graph().source_prior
    pairs = {(a, b): rows[1, a] * rows[2, b] for a, b in product(range(3), repeat=2)
             if max(a, b) == state}  # fmt: skip
    return {pair: chance / sum(pairs.values()) for pair, chance in pairs.items()}


@pytest.mark.parametrize("least", [1, 2])
def test_a_merged_way_in_is_used_by_the_share_of_its_own(least):
    drawn = population([Draw(used={2: state} if state else {}) for state in range(3)])
    for k in (0, 1):
        told = any_used(sample(drawn), drawn, np.array([1 + k], dtype=np.int32), least)
        expected = [sum(chance for pair, chance in parted(state).items() if pair[k] >= least)
                    for state in range(3)]  # fmt: skip
        assert told == pytest.approx(expected)
    none = any_used(sample(drawn), drawn, np.zeros(0, dtype=np.int32), least)
    assert none.tolist() == [0.0, 0.0, 0.0]
    both = any_used(sample(drawn), drawn, np.array([1, 2], dtype=np.int32), least)
    one = [sum(c for pair, c in parted(2).items() if pair[k] >= least) for k in (0, 1)]
    assert both[2] == pytest.approx(1 - (1 - one[0]) * (1 - one[1]))


def test_ways_in_are_told_by_chance_and_undrawn_ones_by_the_side_they_lie_on():
    draws = [Draw(used={0: 2}), Draw(used={0: 1, 1: 1}), Draw(used={3: 2}), Draw(used={2: 1})]
    # Two cases of 3 : 1; the second has no drain and no way in at the kitchen.
    first = sample(population(draws, np.log(3.0)), prior=0.5)
    second = sample(population([Draw(used={3: 1})]), prior=0.5, source_map=(-1, 1, 2, -1, 4))
    told = {one.id: one for one in answers((first, second))}
    past = parted(1)
    undrawn, settled = (sum(c for pair, c in past.items() if pair[k]) for k in (0, 1))
    used = {
        "drain": 0.75 * 2 / 4, "unknown: outside, south side": 0.75 / 4,
        "unknown: outside, north side": 0.75 * undrawn / 4,
        "settled": 0.75 * (1 + settled) / 4 + 0.25,
    }  # fmt: skip
    assert {key: one.used for key, one in told.items()} == pytest.approx(used)
    assert {key: one.now for key, one in told.items()} == pytest.approx(
        {"drain": 0.75 / 4, "unknown: outside, south side": 0, "unknown: outside, north side": 0,
         "settled": 0.75 / 4})  # fmt: skip
    assert list(told) == sorted(used, key=lambda key: -used[key])
    drain, inside = told["drain"], told["settled"]
    assert (drain.words, drain.sort, drain.void, drain.near) == (
        "broken drain under the sink units", "entry point", "f1", ())  # fmt: skip
    assert (inside.words, inside.sort, inside.void) == (
        "already inside: brought in, or shut in", "settled", "")  # fmt: skip
    assert inside.near == ("under the bath B1", "stud bay W1, kitchen north wall")
    north = told["unknown: outside, north side"]
    assert (north.words, north.sort) == ("a way in nobody drew: outside, north side", "unknown")
    chances, now = source_chances((first, second))
    assert chances.mean[0] == pytest.approx(used["drain"])
    assert now.mean[4] == pytest.approx(0.75 / 4)
    assert drain.error == chances.error[0]
    assert all(one.error > 0 for one in told.values())


def test_only_the_three_likeliest_places_of_a_pool_are_named():
    house = graph(
        source_sort=("unknown",) * 5, source_pool=("outside",) * 5,
        source_void=np.array([KITCHEN, F1, F2, W1, BATH], dtype=np.int32),
    )  # fmt: skip
    one = population([Draw(), Draw()])
    state = np.array([[0, 2, 2, 1, 0], [0, 2, 0, 0, 0]], dtype=np.uint8)
    one = msgspec.structs.replace(one, source=state)
    (pool,) = answers((sample(one, house=house),))
    words = graph().words
    assert pool.near == (words[F1], words[F2], words[W1])
    assert (pool.id, pool.used, pool.now) == ("unknown: outside", 1.0, 1.0)
    drawn = graph(source_sort=("entry point",) * 5)
    both = msgspec.structs.replace(one, source=state)
    assert [each.id for each in answers((sample(both, house=drawn),))] == [
        "u_w1", "s_w1", "u_k", "drain", "s_bath"]  # fmt: skip


# From the job to the answer.


def test_a_diagnosis_hands_on_all_that_it_was_asked(monkeypatch):
    asked = {}
    house = graph(volume=np.array([90.0, 1, 2, 3, 1, 1, 1]))
    case = Case("norway rat", "", 1.0, house, evidence_of([]))
    monkeypatch.setattr(weigh, "cases", lambda job, *, rates: (case,) if rates is RATES else ())
    monkeypatch.setattr(weigh, "weigh_cases",
                        lambda found, **options: asked.update(options, found=found))  # fmt: skip
    book, report = read_book("open_bay = 3"), print
    job = Job("j")
    weigh.diagnose(job, seed=3, populations=5, draws=99, threads=2, progress=report, book=book,
                   why=True)  # fmt: skip
    assert asked == {
        "found": (case,), "effort": Effort(3, 5, 99, 2), "progress": report, "book": book,
        "judged": RATES.judged, "cautions": cautions(job, 3.0), "why": True,
    }  # fmt: skip
    weigh.diagnose(job, seed=4)
    assert asked["effort"] == Effort(4, 8, 4096, None)
    assert (asked["progress"], asked["book"], asked["why"]) == (None, DEFAULT, False)


@pytest.mark.parametrize(
    ("off", "alike", "large", "again"),
    [((), True, 7, False), ((3,), True, 7, True), ((), False, 7, True),
     # In a house of more voids than that one void in twenty may be in doubt.
     ((3,), True, 6, False), ((3, 4), True, 6, True), ((), False, 6, True)],
)  # fmt: skip
def test_what_is_not_settled_is_drawn_again_four_times_as_long(
    monkeypatch, off, alike, large, again
):
    rat = Case("norway rat", "", 0.5, graph(), evidence_of([]))
    tied = [Case(name, guess, 0.25, graph(), evidence_of([])) for name, guess in
            (("roof rat", "b"), ("house mouse", "b"))]  # fmt: skip
    asked = []
    one = population([HERE])
    drawn = {"full": (sample(one, one) if alike else sample(one),), "again": (sample(one, one),)}
    monkeypatch.setattr(weigh, "worth_drawing", lambda found, effort, progress: (
        asked.append((found, effort, progress)), (found[:1], ("dropped",)))[1])  # fmt: skip
    monkeypatch.setattr(weigh, "sample_cases", lambda kept, effort, stage, progress: (
        asked.append((kept, effort, stage, progress)), drawn[stage])[1])  # fmt: skip
    monkeypatch.setattr(weigh, "void_chances", lambda samples: chances_of(
        20, off=off if samples is drawn["full"] else ()))  # fmt: skip
    monkeypatch.setattr(weigh, "answer", lambda *given: given)
    effort, report = Effort(1, 8, 100, None, large), print
    samples, dropped, chances, frame = weigh.weigh_cases(
        (*tied, rat), effort=effort, progress=report, judged=("a",), cautions=("b",), why=True
    )
    assert asked[0] == ((rat, tied[1], tied[0]), effort, report)
    assert asked[1] == ((rat,), effort, "full", report)
    assert asked[2:] == [((rat,), Effort(1, 8, 400, None, large), "again", report)] * again
    assert samples is drawn["again" if again else "full"]
    assert dropped == ("dropped",)
    assert unsettled(chances).any() == (bool(off) and not again)
    assert frame == Frame(effort, DEFAULT, ("a",), ("b",), True)


@pytest.mark.parametrize(("large", "anew"), [(7, 5), (6, 1)])
def test_five_inspections_are_run_anew_and_one_in_a_large_house(monkeypatch, large, anew):
    asked = []
    monkeypatch.setattr(answering, "contributions",
                        lambda *given, most: (asked.append((given[1], most)), ())[1])  # fmt: skip
    samples = (sample(population([HERE]), population([HERE])),)
    frame = Frame(Effort(1, 8, 100, None, large), DEFAULT)
    answer(samples, (), void_chances(samples), frame)
    ((ids, most),) = asked
    assert most == anew
    assert sorted(ids) == ["bath", "f1", "f2", "sink", "w1", "w2"]

"""The parts of a diagnosis one by one."""

from __future__ import annotations

import math
from itertools import product

import msgspec
import numpy as np
import pytest
from scipy import stats

from small import evidence_of, finds, graph, look, usual
from wainscot.book import read_book
from wainscot.diagnosis import Case, Effort, weigh_cases
from wainscot.diagnosis.bands import SHOWS_HEAVY, SHOWS_LIGHT, SHOWS_NEST, Outlook, band, costs
from wainscot.diagnosis.cautions import DISEASE, GAS, OLD_PAINT, POISON, cautions
from wainscot.diagnosis.mapping import void_map
from wainscot.diagnosis.pareto import fit, smooth
from wainscot.diagnosis.posterior import void_chances, weights, weights_settled
from wainscot.diagnosis.problem import make
from wainscot.diagnosis.sampling import sample_cases
from wainscot.diagnosis.thin import components, likeliest_ways, thin
from wainscot.job import Job


def answer_of(house, placed, **effort):
    case = Case("norway rat", "", 1.0, house, evidence_of(placed))
    answer, _ = weigh_cases((case,), effort=Effort(7, 8, 2048, **effort))
    return answer


# Bands: expected costs by listing every outcome of the check.


@pytest.mark.parametrize(
    ("light", "heavy", "nest"), [(0.1, 0.0, 0.0), (0.25, 0.1, 0.02), (0.4, 0.3, 0.2), (0, 0, 0.05)]
)
def test_the_cost_of_checking_first_is_that_of_listing_what_the_check_may_show(light, heavy, nest):
    book = read_book("open_bay = 3\ncheck = 0.4\ncallback_light = 12")
    there = {"clean": 1 - light - heavy - nest, "light": light, "heavy": heavy, "nest": nest}
    shows = {"clean": 0.0, "light": SHOWS_LIGHT.value, "heavy": SHOWS_HEAVY.value,
             "nest": SHOWS_NEST.value}  # fmt: skip
    left = {"clean": 0.0, "light": 12.0, "heavy": 32.0, "nest": 40.0}
    # two plans after a check that showed nothing: open all the same, or leave
    plans = []
    for opens in (True, False):
        total = 0.4
        for state, shown in product(there, (True, False)):
            chance = there[state] * (shows[state] if shown else 1.0 - shows[state])
            total += chance * (3.0 if shown or opens else left[state])
        plans.append(total)
    said = costs(Outlook(light, heavy, nest), book)
    assert said["check first"] == pytest.approx(min(plans))
    assert said["open"] == pytest.approx(3.0)
    assert said["leave"] == pytest.approx(sum(there[s] * left[s] for s in there))


def test_a_dearer_opening_never_makes_one_open_more():
    order = {"leave": 0, "check first": 1, "open": 2}
    for chance in np.linspace(0.0, 1.0, 21):
        bands = [
            order[band(Outlook(0.7 * chance, 0.25 * chance, 0.05 * chance),
                       read_book(f"open_bay = {hours}"))]
            for hours in (1, 4, 12, 36)
        ]  # fmt: skip
        assert bands == sorted(bands, reverse=True)


def test_a_room_is_never_opened():
    assert band(Outlook(0.2, 0.5, 0.3), hidden=False) == "check first"


# Pareto tail: against scipy's own generalised Pareto distribution.


def test_the_shape_is_that_of_zhang_and_stephens_written_out():
    # J. Zhang & M. A. Stephens, Technometrics 51 (2009), as Vehtari et al. (2024) give it with the
    # pull to one half: from memory, in plain sums.
    tail = sorted(float(one) for one in stats.genpareto.rvs(0.4, size=50, random_state=6))
    n, m = len(tail), 30 + int(len(tail) ** 0.5)
    quartile = tail[int(n / 4 + 0.5) - 1]
    thetas = [1 / tail[-1] + (1 - (m / (j - 0.5)) ** 0.5) / (3 * quartile) for j in range(1, m + 1)]

    def shape_at(theta: float) -> float:
        return sum(math.log(1 - theta * one) for one in tail) / n

    logs = [n * (math.log(-each / shape_at(each)) - shape_at(each) - 1) for each in thetas]
    weights = [1 / sum(math.exp(other - log) for other in logs) for log in logs]
    best = sum(w * each for w, each in zip(weights, thetas, strict=True))
    k = shape_at(best)
    assert fit(np.array(tail)) == pytest.approx(((n * k + 5) / (n + 10), -k / best), rel=1e-9)


@pytest.mark.parametrize("shape", [0.2, 0.5, 0.9])
def test_the_shape_of_a_known_tail_is_found(shape: float):
    tail = np.sort(stats.genpareto.rvs(shape, scale=2.0, size=2000, random_state=4))
    k, scale = fit(tail)
    assert k == pytest.approx(shape, abs=0.08)
    assert scale == pytest.approx(2.0, rel=0.12)


def test_heavy_weights_are_not_trusted_and_light_ones_are():
    random = np.random.default_rng(1)
    assert smooth(0.3 * random.standard_normal(4000))[1] < 0.5
    assert smooth(4.0 * random.standard_normal(4000))[1] > 0.7
    assert smooth(np.zeros(4000))[1] == 0.0
    rare = np.zeros(4000)
    rare[:3] = 12.0
    assert smooth(rare)[1] > 0.7


def test_smoothing_keeps_the_order_of_the_weights():
    logs = np.random.default_rng(2).standard_normal(3000)
    smoothed, _ = smooth(logs)
    assert (np.diff(smoothed[np.argsort(logs)]) >= -1e-9).all()


# Ways in that cannot be told apart are merged and parted again.


def test_parting_merged_ways_in_gives_their_own_chances_back():
    house = graph()
    problem, merged = make(house, evidence_of([]))
    prior = problem.source_prior / problem.source_prior.sum(axis=1, keepdims=True)
    assert len(prior) == 4  # five ways in, two of them at one void
    assert np.allclose(merged.apart(prior), house.source_prior)


# Runs.


def test_runs_are_found_where_there_is_only_one():
    ends = np.array([[2, 1], [2, 3], [3, 4], [4, 5], [5, 6]], dtype=np.int32)
    ends.sort(axis=1)
    line = graph(
        edges=ends,
        passage_keys=tuple("abcde"),
        passage_rule=("gap",) * 5,
        passage_words=("gap",) * 5,
        aperture=np.full((5, 2), 0.02),
        prior_open=np.full(5, 0.6),
        prior_run=np.ones(5),
        gnawable=np.zeros(5, dtype=bool),
        passage_at=np.zeros((5, 3)),
    )
    placed = [look("i", (6,), finds("opened and seen", "heavy"), method="opened")]
    answer = answer_of(line, placed)
    run = answer.runs[0]
    assert run.voids == ("f1", "f2", "w1", "w2", "bath")
    assert run.words == (
        "drain > broken drain under the sink units > joist bays F1 and F2 > stud bays W1 and W2"
        " > under the bath B1"
    )
    assert len(answer.runs) <= 3


def test_a_way_steps_only_through_open_passages_from_a_used_way_in():
    house, evidence = graph(), evidence_of(usual())
    case = Case("norway rat", "", 1.0, house, evidence)
    for one in _picked(case):
        before, source = likeliest_ways(one)
        label = components(one)
        problem = one.sample.problem
        for t in range(len(one.load)):
            open_ = {tuple(pair) for pair in problem.passage_ends[one.on[t]].tolist()}
            for v in range(len(house.keys)):
                assert (before[t, v] >= 0) == (one.reach[t, v] > 0)
                if before[t, v] == v:
                    e = int(source[t, v])
                    assert one.source[t, e] > 0
                    assert problem.source_void[e] == v
                elif before[t, v] >= 0:
                    assert tuple(sorted((v, int(before[t, v])))) in open_
                    assert label[t, v] == label[t, before[t, v]]


def _picked(case: Case):
    return thin(sample_cases((case,), Effort(7, 4, 512), "test", None), 64)


# Signs that do not fit.


def test_a_sign_far_from_every_drawn_way_in_is_told_with_where_to_look():
    apart = graph(prior_open=np.array([0.3, 0.4, 0.55, 1e-4, 0.1, 0.45, 1e-4, 0.05]))
    seen = [look("far", (6,), finds("droppings", "heaps"), grade="photographed", finished=False)]
    answer = answer_of(apart, seen)
    assert [one.inspection for one in answer.misfits] == ["far"]
    assert "bath" in answer.misfits[0].near
    assert "not explained" in answer.verdict
    assert answer.misfits[0].expected_false < 0.2


def test_a_doubtful_word_is_told_as_perhaps_no_animal():
    closed = graph(prior_open=np.full(8, 0.01))
    told = [look("said", (5,), finds("droppings"), grade="told", finished=False)]
    answer = answer_of(closed, told)
    assert [one.inspection for one in answer.misfits] == ["said"]
    assert answer.misfits[0].expected_false > 0.5


def test_a_sign_next_to_the_drawn_way_in_fits():
    assert answer_of(graph(), [look("near", (1,), finds("droppings", "many"))]).misfits == ()


# Guesses.


def test_a_void_that_another_guess_has_not_is_matched_by_its_spot():
    house = graph()
    other = msgspec.structs.replace(
        house, keys=tuple(f"other_{k}" if k in ("f1", "w2") else k for k in house.keys)
    )
    assert void_map(house, other).tolist() == list(range(7))
    gone = msgspec.structs.replace(
        other, polygon=tuple(outline + (100.0 if v == 5 else 0.0)
                             for v, outline in enumerate(other.polygon)))  # fmt: skip
    assert void_map(house, gone).tolist() == [0, 1, 2, 3, 4, -1, 6]


# Words.


def test_the_verdict_never_says_that_nothing_remains_and_says_what_was_not_seen():
    for placed in ([], usual(), [look(f"i{v}", (v,), method="opened") for v in range(7)]):
        said = answer_of(graph(), placed).verdict
        assert said.endswith(".")
        assert said.count(". ") == 0, "one sentence"
        for word in ("none remain", "no animals", "free of", "all clear", "gone"):
            assert word not in said.lower()
        assert "nobody has looked into" in said


def test_a_void_opened_and_seen_says_what_was_seen():
    placed = [look("i", (4,), finds("opened and seen", "light"), method="opened")]
    void = next(one for one in answer_of(graph(), placed).voids if one.id == "w1")
    assert (void.band, void.seen, void.reason) == ("seen", "light", "seen: light")
    assert void.looked == 1.0


def test_cautions_fit_the_job_and_defer_to_local_rules():
    old = Job("j", entities={"s": {"kind": "settings", "year_built": 1934}})
    new = Job("j", entities={"s": {"kind": "settings", "year_built": 2015},
                             "g": {"kind": "service", "type": "gas",
                                   "path": [[0, 0, 0], [1, 0, 0]]}})  # fmt: skip
    assert OLD_PAINT in cautions(old)
    assert OLD_PAINT in cautions(Job("j"))
    assert OLD_PAINT not in cautions(new)
    assert GAS in cautions(new)
    assert GAS not in cautions(old)
    assert {DISEASE, POISON} <= set(cautions(new))
    assert len(cautions(new, largest=10.0)) == len(cautions(new)) + 1


# Not settled.


def test_one_population_alone_cannot_be_compared_and_is_not_settled():
    case = Case("norway rat", "", 1.0, graph(), evidence_of(usual()))
    answer, draws = weigh_cases((case,), effort=Effort(7, 1, 128))
    assert not answer.settled
    assert draws.status == "not settled"
    assert answer.verdict.startswith("Not settled")
    assert {one.band for one in answer.voids} <= {"can't tell yet", "seen"}
    assert answer.draws == 4 * 128, "a second try with four times the draws was made"


def test_halves_that_differ_by_more_than_their_errors_allow_are_not_settled():
    case = Case("norway rat", "", 1.0, graph(), evidence_of(usual()))
    (sample,) = sample_cases((case,), Effort(7, 4, 1024), "test", None)
    assert void_chances((sample,))["ever"].settled.all()
    # every second population is made to say that nothing was ever reached
    changed = tuple(
        msgspec.structs.replace(one, reach=np.zeros_like(one.reach)) if one.number % 2 else one
        for one in sample.populations
    )
    torn = void_chances((msgspec.structs.replace(sample, populations=changed),))["ever"]
    assert not torn.settled.any()
    assert np.allclose(torn.halves[1], 0.0)


def test_a_case_that_only_half_of_the_populations_favour_is_not_settled():
    case = Case("norway rat", "", 0.5, graph(), evidence_of(usual()))
    first, second = sample_cases((case, case), Effort(7, 4, 256), "test", None)
    assert weights_settled((first, second))
    lifted = tuple(
        msgspec.structs.replace(one, log_evidence=one.log_evidence + (3.0 if one.number % 2 else 0))
        for one in second.populations
    )
    assert not weights_settled((first, msgspec.structs.replace(second, populations=lifted)))


def test_chances_from_counts_are_the_means_over_every_draw():
    case = Case("norway rat", "", 1.0, graph(), evidence_of(usual()))
    (sample,) = sample_cases((case,), Effort(3, 2, 256), "test", None)
    chances = void_chances((sample,))
    detail, rows = sample.problem.detail, sample.problem.row_of
    share = weights((sample,))[0]
    for v in range(len(rows)):
        soiled, now = [], []
        for one in sample.populations:
            drawn = zip(one.load, one.reach, strict=True)
            cells = [detail[rows[v], level, reach[v]] for level, reach in drawn]
            soiled.append(float(np.mean([1.0 - cell[0] / cell.sum() for cell in cells])))
            now.append(float(np.mean(one.reach[:, v] == 2)))
        assert chances["soiled"].mean[v] == pytest.approx(share @ soiled)
        assert chances["soiled"].halves[:, v] == pytest.approx(soiled)
        assert chances["now"].mean[v] == pytest.approx(share @ now)

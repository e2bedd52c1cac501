"""How much is drawn of which case and with which seeds; ways in merged; tails; species."""

from __future__ import annotations

import hashlib
from itertools import product

import msgspec
import numpy as np
import pytest
from by_hand import BATH, F1, W1, Draw, population, sample

from small import evidence_of, graph, usual
from wainscot.diagnosis import Case, Effort, pareto, sampling
from wainscot.diagnosis.answer import Hypothesis
from wainscot.diagnosis.kernel import IN_TURNS
from wainscot.diagnosis.pareto import smooth
from wainscot.diagnosis.problem import make, passage_prior
from wainscot.diagnosis.sampling import sample_cases, worth_drawing

RAT = Case("norway rat", "", 0.5, graph(), evidence_of([]))
MOUSE = Case("house mouse", "g", 0.5, graph(), evidence_of(usual()))


@pytest.mark.parametrize(
    ("draws", "populations", "chains"), [(4096, 8, 64), (256, 8, 4), (320, 8, 5), (319, 8, 4)]
)
def test_chains_are_eight_draws_long_and_at_least_four(draws, populations, chains):
    assert Effort(1, populations, draws).chains == chains


def stream(*parts):
    digest = hashlib.sha256("\n".join(parts).encode()).digest()
    return sum(byte << (8 * n) for n, byte in enumerate(digest[:8]))


def drawn(monkeypatch, effort, progress=None):
    asked = []

    def run(problem, **options):
        options["progress"] and options["progress"](0.5)
        asked.append((problem, options))
        return [population([Draw()], number=n) for n in range(2)]

    monkeypatch.setattr(sampling.kernel, "run", run)
    return sample_cases((RAT, MOUSE), effort, "full", progress), asked


def test_every_case_is_drawn_with_numbers_of_its_own_name(monkeypatch):
    shares = []
    samples, asked = drawn(monkeypatch, Effort(7, 3, 960, 2), shares.append)
    assert [options["seed"] for _, options in asked] == [
        stream("7", "full", "norway rat", ""), stream("7", "full", "house mouse", "g")]  # fmt: skip
    for (_, options), one, case in zip(asked, samples, (RAT, MOUSE), strict=True):
        assert (options["populations"], options["chains"], options["length"]) == (3, 40, 8)
        assert (options["threads"], options["flags"]) == (2, 0)
        assert one.case is case
        assert [each.number for each in one.populations] == [0, 1]
        assert (one.void_map.tolist(), one.source_map.tolist()) == ([*range(7)], [*range(5)])
    assert asked[1][0] is samples[1].problem
    assert np.array_equal(samples[1].problem.detail, MOUSE.evidence.detail)
    assert shares == [0.25, 0.75]
    quiet = drawn(monkeypatch, Effort(7, 3, 960))[1]
    assert [options["progress"] for _, options in quiet] == [None, None]


@pytest.mark.parametrize(("above", "flags"), [(7, 0), (6, IN_TURNS)])
def test_far_flips_are_made_in_turns_in_large_houses_alone(monkeypatch, above, flags):
    _, asked = drawn(monkeypatch, Effort(7, 3, 960, None, above))
    assert [options["flags"] for _, options in asked] == [flags, flags]


def test_cases_of_less_than_a_hundredth_are_not_drawn_from_in_full(monkeypatch):
    cases = tuple(Case(name, "", 0.25, graph(), evidence_of([])) for name in "abcde")
    # Of 999 parts; 9 are too few, but two errors of 0.1 in the first one's favour make them 11.
    parts = {"a": (9, 0.1), "b": (500, 0.0), "c": (470, 0.0), "d": (11, 0.0), "e": (9, 0.0)}
    asked = []

    def draw(found, effort, stage, progress):
        asked.append((effort, stage, progress))
        return tuple(
            msgspec.structs.replace(
                sample(population([Draw()], np.log(parts[one.species][0]), log_evidence_se=0.0),
                       population([Draw()], np.log(parts[one.species][0]),
                                  log_evidence_se=parts[one.species][1])), case=one)
            for one in found
        )  # fmt: skip

    monkeypatch.setattr(sampling, "sample_cases", draw)
    kept, dropped = worth_drawing(cases, Effort(3, 8, 4096, 2), print)
    assert [one.species for one in kept] == ["b", "c", "d", "a"]
    assert dropped == (
        Hypothesis("e", "", pytest.approx(9 / 999), pytest.approx(np.log(9))),)  # fmt: skip
    assert asked[-1] == (Effort(3, 2, 512, 2), "pilot", print)
    worth_drawing(cases, Effort(3, 8, 100), None)
    assert asked[-1] == (Effort(3, 2, 100), "pilot", None)
    asked.clear()
    assert worth_drawing(cases[:1], Effort(3, 8, 100), print) == (cases[:1], ())
    assert asked == []


# The problem as the kernel gets it.


def test_the_problem_is_the_graph_s_and_the_evidence_s(monkeypatch):
    evidence = evidence_of(usual())
    rows = evidence.source_factor.copy()
    rows[3] = 5.0
    evidence = msgspec.structs.replace(evidence, source_factor=rows)
    problem, merged = make(graph(), evidence)
    for name in (
        "load_prior", "row_of", "detail", "zone_offsets", "zone_void", "zone_hit", "zone_false",
        "zone_heard", "linear_offsets", "linear_void", "linear_emission", "linear_grid",
        "linear_log_likelihood", "linear_soil",
    ):  # fmt: skip
        assert getattr(problem, name) is getattr(evidence, name), name
    assert problem.passage_ends.tolist() == graph().edges.tolist()
    assert problem.source_void.tolist() == [F1, 0, W1, BATH]
    assert problem.source_named.tolist() == [True, False, False, False]
    assert [each.tolist() for each in merged.members] == [[0], [3], [1, 2], [4]]
    assert merged.group.tolist() == [0, 2, 2, 1, 3]
    assert problem.source_prior[0] == pytest.approx(graph().source_prior[0] * rows[0])
    # At w1 the later of the two; an undrawn way in has no find of its own.
    assert problem.source_prior[1] == pytest.approx(graph().source_prior[3])
    later = np.zeros(3)
    for a, b in product(range(3), repeat=2):
        later[max(a, b)] += graph().source_prior[1, a] * graph().source_prior[2, b]
    assert problem.source_prior[2] == pytest.approx(later)
    bare = graph(source_keys=(), source_sort=(), source_pool=(), source_words=(),
                 source_void=np.zeros(0, np.int32), source_prior=np.zeros((0, 3)))  # fmt: skip
    none = msgspec.structs.replace(evidence_of([]), source_factor=np.zeros((0, 3)))
    assert make(bare, none)[0].source_prior.shape == (0, 3)


def test_a_merged_state_is_parted_by_what_is_left_to_each():
    _, merged = make(graph(), evidence_of([]))
    rows = graph().source_prior
    for k in (1, 2):
        for state in range(3):
            pairs = {(a, b): rows[1, a] * rows[2, b] for a, b in product(range(3), repeat=2)
                     if max(a, b) == state}  # fmt: skip
            own = [sum(c for pair, c in pairs.items() if pair[k - 1] == s) for s in range(3)]
            assert merged.parting[k, state] == pytest.approx(np.array(own) / sum(pairs.values()))
    assert np.array_equal(merged.parting[0], np.eye(3))
    never = graph(source_prior=np.array([[1.0, 0, 0]] * 5))
    assert make(never, evidence_of([]))[1].parting[2].tolist() == [[1, 0, 0], [0, 1, 0], [0, 0, 1]]


def test_a_passage_is_open_and_run_by_both_chances_and_never_for_sure():
    house = graph(prior_open=np.array([0.5, 1.0, 0.0, 1e-9, 1.0, 0.2, 0.2, 0.2]),
                  prior_run=np.array([0.4, 1.0, 1.0, 1.0, 0.3, 1, 1, 1]))  # fmt: skip
    assert passage_prior(house) == pytest.approx(
        [0.2, 1 - 1e-6, 1e-6, 1e-6, 0.3, 0.2, 0.2, 0.2], rel=1e-9)  # fmt: skip


# Tails.


def test_the_largest_weights_become_quantiles_of_the_fitted_tail(monkeypatch):
    # 100 draws: the largest min(20, 30) = 20; with k = 1 the quantiles are p / (1 - p).
    logs = np.log(np.linspace(0.01, 1.0, 100))[::-1].copy()
    asked = []
    for k, quantile in ((1.0, lambda p: 0.01 * p / (1 - p)), (0.0, lambda p: -0.01 * np.log(1 - p)),
                        (-0.5, lambda p: 0.02 * (1 - (1 - p) ** 0.5))):  # fmt: skip
        asked.clear()
        monkeypatch.setattr(pareto, "fit", lambda tail, k=k: (asked.append(tail), (k, 0.01))[1])
        told, shape = smooth(logs + 7)
        assert shape == k
        assert asked[0] == pytest.approx(np.arange(1, 21) / 100)
        assert told[20:] == pytest.approx(logs[20:])
        p = (np.arange(20) + 0.5) / 20
        expected = np.minimum(np.log(0.8 + quantile(p)), 0.0)
        assert told[:20][::-1] == pytest.approx(expected)
    monkeypatch.setattr(pareto, "fit", lambda tail: (np.nan, 1.0))
    told, shape = smooth(logs)
    assert (shape, np.array_equal(told, logs)) == (np.inf, True)


@pytest.mark.parametrize(("count", "fitted"), [(24, 0), (25, 5), (225, 45), (900, 90)])
def test_a_fifth_of_the_draws_or_three_roots_are_the_tail(monkeypatch, count, fitted):
    asked = []
    monkeypatch.setattr(pareto, "fit", lambda tail: (asked.append(len(tail)), (0.3, 1.0))[1])
    smooth(np.linspace(-3, 0, count))
    assert asked == [fitted] * bool(fitted)
    assert smooth(np.linspace(0, 1e-10, count))[1] == 0.0


def test_a_case_stands_in_the_answer_with_its_weight_and_evidence():
    one = sample(population([Draw()], 2.0), guess="g")
    assert sampling.hypothesis(one, 0.25) == Hypothesis("norway rat", "g", 0.25, 2.0)

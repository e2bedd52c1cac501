"""What goes along with the chances: seed, halves, disagreements, words of the sensitivity."""

from __future__ import annotations

import msgspec
import pytest

from small import evidence_of, finds, graph, look, usual
from wainscot.diagnosis import Case, Diagnosis, Effort, diagnose, weigh_cases
from wainscot.diagnosis.kernel import combine, run
from wainscot.diagnosis.problem import make
from wainscot.diagnosis.reweigh import changed_voids
from wainscot.diagnosis.sensitivity import BandChange, Effect, Sensitivity, lines
from wainscot.job import Job


@pytest.fixture(scope="module")
def case() -> Case:
    return Case("norway rat", "", 1.0, graph(), evidence_of(usual()))


@pytest.fixture(scope="module")
def answer(case: Case) -> Diagnosis:
    found, _ = weigh_cases((case,), effort=Effort(21, 8, 512))
    return found


def test_the_seed_is_told_with_every_answer_and_every_population(
    case: Case, answer: Diagnosis
) -> None:
    assert answer.seed == 21
    problem, _ = make(case.graph, case.evidence)
    assert [(one.seed, one.number) for one in run(problem, seed=21, populations=2, chains=8)] == [
        (21, 0),
        (21, 1),
    ]
    nothing, draws = diagnose(Job("empty"), seed=33)
    assert (nothing.seed, nothing.voids, nothing.settled) == (33, (), None)
    assert nothing.draws == 0
    assert len(draws.weight) == 0


def test_a_void_s_chance_lies_between_those_of_its_halves(answer: Diagnosis) -> None:
    # The whole is a mixture of the two halves, by their evidence.
    for one in answer.voids:
        low, high = sorted(one.halves)
        assert low - 1e-9 <= one.soiled <= high + 1e-9, one.id
    assert any(one.halves[0] != one.halves[1] for one in answer.voids)
    assert max(min(one.halves) for one in answer.voids) > 0.5


def test_voids_come_by_falling_chance_of_soil_and_a_room_is_never_to_be_opened(
    answer: Diagnosis,
) -> None:
    chances = [one.soiled for one in answer.voids]
    assert chances == sorted(chances, reverse=True)
    assert len({round(one) for one in chances}) < len(set(chances))
    heaps = [look("here", (0,), finds("droppings", "heaps", freshness="fresh"), share_seen=0.5)]
    found, _ = weigh_cases(
        (Case("norway rat", "", 1.0, graph(), evidence_of(heaps)),), effort=Effort(4, 2, 256)
    )
    room = next(one for one in found.voids if not one.hidden)
    assert room.soiled > 0.5
    assert room.band == "check first"


def test_a_disagreement_names_the_value_on_which_the_halves_differ(case: Case) -> None:
    problem, _ = make(case.graph, case.evidence)
    marginals = combine(run(problem, seed=1, populations=2, chains=4, length=4))
    told = [one for one in marginals.disagreements if one.what != "log_evidence"]
    assert told
    assert not marginals.settled
    for one in told:
        low, high = sorted((one.first, one.second))
        assert low <= getattr(marginals, one.what)[one.index] <= high
        assert 0.0 < one.error <= getattr(marginals, f"{one.what}_se")[one.index]


def test_a_house_of_one_way_in_keeps_its_state_in_the_draws() -> None:
    whole = graph()
    one = msgspec.structs.replace(
        whole, source_keys=whole.source_keys[:1], source_words=whole.source_words[:1],
        source_sort=whole.source_sort[:1], source_pool=whole.source_pool[:1],
        source_void=whole.source_void[:1], source_prior=whole.source_prior[:1],
        source_at=whole.source_at[:1],
    )  # fmt: skip
    case = Case("norway rat", "", 1.0, one, evidence_of([]))
    _, draws = weigh_cases((case,), effort=Effort(3, 2, 512))
    # Never, past, now: 0.6, 0.1, 0.3 by the prior, for nothing was looked at.
    now = float(draws.weight @ (draws.entry[:, 0] == 2))
    assert now == pytest.approx(0.3, abs=0.1)


def _effect(**changed: object) -> Effect:
    fields: dict[str, object] = {
        "rate": "droppings: false alarms", "factor": 2.0, "bands": (), "next_check": "",
        "moved": 0.01, "void": "under the bath B1", "chance": (0.20, 0.21), "rerun": False,
    }  # fmt: skip
    return Effect(**{**fields, **changed})


def test_the_lines_of_a_sensitivity_name_what_matters_and_say_so_where_nothing_does() -> None:
    change = BandChange("bath", "B1", "under the bath B1", "leave", "open")
    some = Sensitivity((_effect(bands=(change,)), _effect()), "", 12, 3, 4096)
    said = lines(some)
    assert said[0].startswith("12 judged rates")
    assert "1 of them change a band." in said[0]
    assert [line for line in said if "B1 leave > open; most moved" in line] == said[1:]
    little = lines(Sensitivity((_effect(),), "", 12, 3, 4096))
    assert len(little) == 2
    assert little[1].startswith("droppings: false alarms")
    nothing = lines(Sensitivity((), "", 12, 12, 4096))
    assert nothing[1:] == ["None moves any chance by half a point."]
    many = Sensitivity(tuple(_effect(next_check="B2") for _ in range(5)), "B1", 12, 3, 4096)
    assert lines(many, most=3)[-1].startswith("2 more change a band")
    assert len(lines(many, most=3)) == 2 + 3 + 1


def test_changed_voids_come_in_the_order_of_the_voids() -> None:
    own, other = evidence_of(usual()), evidence_of([])
    # The same evidence with its rows numbered backwards.
    last = len(own.detail) - 1
    turned = msgspec.structs.replace(own, row_of=last - own.row_of, detail=own.detail[::-1])
    for one in (own, turned):
        changed = changed_voids(one, other)
        firsts = [int(voids[0]) for voids in changed.values()]
        assert firsts == sorted(firsts)
        assert sorted(v for voids in changed.values() for v in voids.tolist()) == [0, 1, 2, 3, 5, 6]

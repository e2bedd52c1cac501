"""Two species at once: only with a decisive sign of each, then by how well it foretells them."""

from __future__ import annotations

import numpy as np
import pytest

import houses
from wainscot.checks import next_checks
from wainscot.cli.answer_text import _leave
from wainscot.diagnosis import diagnose
from wainscot.diagnosis.answer import Hypothesis, VoidAnswer
from wainscot.diagnosis.cases import BOTH, cases, decisive_species, species_of
from wainscot.diagnosis.verdict import ONE_KIND, claimed, one_kind, species_words
from wainscot.signs import DEFAULT
from wainscot.species import SPECIES, species, together

MICE_AND_RATS = "house mouse and norway rat"


def job(*looks):
    document = houses.bungalow()
    kept = {
        key: one
        for key, one in document["entities"].items()
        if one["kind"] not in ("inspection", "species")
    }
    logged = {
        f"i{n}": {"kind": "inspection", "place": {"of": "bath"}, **one}
        for n, one in enumerate(looks)
    }
    return houses.as_job({**document, "entities": {**kept, **logged}})


def caught(name, **fields):
    find = {"kind": "trap night", "amount": "caught", "species": name}
    return {"method": "trap", "nights": 2, "finds": [find], **fields}


def test_a_catch_of_each_makes_both_a_case():
    both = job(caught("house mouse"), caught("norway rat"))
    assert decisive_species(both) == ("house mouse", "norway rat")
    prior = species_of(both)
    assert set(prior) == {*SPECIES, MICE_AND_RATS}
    assert prior[MICE_AND_RATS] == pytest.approx(BOTH.value)
    assert sum(prior.values()) == pytest.approx(1.0)
    assert BOTH.is_judgement


@pytest.mark.parametrize(
    "looks",
    [
        [caught("house mouse")],
        [caught("house mouse"), caught("house mouse")],
        [caught("house mouse"), {"finds": [{"kind": "droppings", "species": "norway rat"}]}],
        [caught("house mouse"), caught("norway rat", grade="told")],
        [caught("house mouse"),
         {"method": "trap", "nights": 2,
          "finds": [{"kind": "trap night", "amount": "nothing", "species": "norway rat"}]}],
        [caught("house mouse"), caught("")],
    ],
)  # fmt: skip
def test_anything_less_does_not(looks):
    assert set(species_of(job(*looks))) <= set(SPECIES)


def test_a_carcass_and_a_picture_are_decisive_as_well():
    found = job(
        {"finds": [{"kind": "carcass", "amount": "one", "species": "house mouse"}]},
        {"method": "camera", "nights": 2, "grade": "photographed",
         "finds": [{"kind": "camera night", "amount": "often", "species": "roof rat"}]},
    )  # fmt: skip
    assert together(["roof rat", "house mouse"]) in species_of(found)


def test_two_species_pass_where_the_smaller_one_does():
    pair = species(MICE_AND_RATS)
    assert pair.passage.value == SPECIES["house mouse"].passage.value
    assert pair.plural == "house mice and norway rats"
    graphs = {case.species: case.graph for case in cases(job(caught("house mouse"),
                                                             caught("norway rat")))}  # fmt: skip
    mouse, both = graphs["house mouse"], graphs[MICE_AND_RATS]
    assert both.keys == mouse.keys
    assert np.allclose(both.prior_open, mouse.prior_open)


def test_what_was_caught_twice_over_is_both_and_the_answer_says_so():
    both = job(caught("house mouse"), caught("norway rat"))
    answer, draws = diagnose(both, seed=3, draws=1024)
    weight = {}
    for one in answer.hypotheses:
        weight[one.species] = weight.get(one.species, 0.0) + one.weight
    # By hand: both has a prior of 1 in 10 and foretells the names of the two catches by 1/2 each;
    # mice alone foretell one for sure and the other only if it was misnamed (or no catch at all).
    wrong = (1.0 - DEFAULT.kind("trap night").number("named_right")) / 2.0
    assert wrong < 0.003
    assert 0.6 < weight[MICE_AND_RATS] < 0.95
    assert "house mice and norway rats" in answer.verdict.lower()
    assert next_checks(both, draws).checks, "the steps after it take the pair"


def test_where_two_at_once_were_not_weighed_the_verdict_says_at_least():
    alone = (Hypothesis("house mouse", "", 0.97, 0.0), Hypothesis("norway rat", "", 0.03, -3.0))
    assert species_words(alone) == "house mice at least (more than 9 in 10)"
    assert claimed(alone).at_least
    assert one_kind(alone) == (ONE_KIND,)
    assert species_words(alone[:1]) == "house mice"  # the job itself names it
    both = (*alone, Hypothesis(MICE_AND_RATS, "", 0.0, -9.0))
    assert species_words(both) == "house mice (more than 9 in 10)"
    assert not claimed(both).at_least
    assert one_kind(both) == one_kind(alone[:1]) == ()


def test_what_is_left_unseen_is_not_called_clean():
    def left(key, looked):
        return VoidAnswer(key, key, "stud bay", key, "s", True, 0.04, 0.0, 0.1, 0.0, 0.0, 0.0, 0.0,
                          "leave", "", looked)  # fmt: skip

    said = _leave([left("a", 0.0), left("b", 0.5), left("c", 0.0)])
    assert said.startswith("Leave the other 3 hidden voids: at most 5 in 100.")
    assert said.endswith("Nobody looked into 2 of them: not known to be clean.")
    assert "obody" not in _leave([left("b", 0.5)])

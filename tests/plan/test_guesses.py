"""Framing guesses: products of questions, at most four, never over what was measured."""

from __future__ import annotations

from typing import Any

import pytest

from houses import as_job, bungalow, semi
from wainscot import plan
from wainscot.errors import InputError


def with_guesses(*guesses: tuple[str, float, dict[str, Any]]) -> dict[str, Any]:
    document = bungalow()
    for number, (question, weight, choices) in enumerate(guesses):
        document["entities"][f"guess{number}"] = {
            "kind": "framing_guess", "question": question, "weight": weight, "choices": choices,
        }  # fmt: skip
    return document


def test_a_job_without_guesses_has_one_hypothesis() -> None:
    assert plan.hypotheses(as_job(bungalow())) == [("", 1.0, {})]


def test_questions_multiply_and_weights_sum_to_one() -> None:
    document = with_guesses(
        ("joists", 0.7, {"ground.floor.joists_run": "x"}),
        ("joists", 0.3, {"ground.floor.joists_run": "y"}),
        ("blocks", 0.4, {"partition.blocked": "yes"}),
        ("blocks", 0.6, {"partition.blocked": "no"}),
    )
    found = plan.hypotheses(as_job(document))
    assert sorted(round(weight, 9) for _, weight, _ in found) == [0.12, 0.18, 0.28, 0.42]
    assert sum(weight for _, weight, _ in found) == pytest.approx(1.0)
    assert all(len(choices) == 2 for _, _, choices in found)


def test_more_than_four_combinations_are_refused() -> None:
    document = with_guesses(
        *[("a", 0.5, {"ground.floor.joists_run": run}) for run in "xy"],
        *[("b", 1 / 3, {"partition.blocked": word}) for word in ("yes", "no", "unknown")],
    )
    with pytest.raises(InputError, match="6 combinations"):
        plan.hypotheses(as_job(document))


def test_a_guess_changes_the_framing_and_leaves_the_job_itself_alone() -> None:
    job = as_job(semi())
    runs = {}
    for key, _, choices in plan.hypotheses(job):
        found = plan.read(plan.apply_guess(job, choices), guess=key)
        runs[found.guess] = found.storey("ground").floor.joists_run
    assert runs == {"joists_ground": "x", "joists_ground_other": "y"}
    assert plan.read(job).storey("ground").floor.joists_run == ""


def test_a_guess_does_not_overrule_what_somebody_saw_but_does_overrule_a_default() -> None:
    document = bungalow()
    floor = document["entities"]["ground"]["floor"]
    choices = {"ground.floor.joists_run": "y"}
    assert plan.read(plan.apply_guess(as_job(document), choices)).storeys[0].floor.joists_run == "x"
    floor["joists_run"] = {"value": "x", "basis": "default"}
    assert plan.read(plan.apply_guess(as_job(document), choices)).storeys[0].floor.joists_run == "y"

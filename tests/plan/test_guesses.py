"""Framing guesses: products of questions, at most four, never over what was measured."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from houses import as_job, bungalow, semi
from wainscot import plan, voids
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


def unsaid(**ground: Any) -> dict[str, Any]:
    """Return the bungalow with nothing said of the way its joists run."""
    document = bungalow()
    floor = document["entities"]["ground"]["floor"]
    floor.pop("joists_run")
    floor.update(ground)
    return document


def test_which_way_the_joists_run_is_asked_by_itself_where_nobody_said() -> None:
    # Joists span the shorter way in most floors: judgement, 0.8.
    job = as_job(unsaid())
    found = {key: (weight, choices) for key, weight, choices in plan.hypotheses(job)}
    assert {key: round(weight, 9) for key, (weight, _) in found.items()} == {
        "joists over the shorter span": 0.8, "joists over the longer span": 0.2,
    }  # fmt: skip
    bays = {}
    for key, (_, choices) in found.items():
        drawn = plan.read(plan.apply_guess(job, choices), guess=key)
        graph = voids.build(drawn, "norway rat")
        ring = graph.polygon[graph.keys.index("ground/kitchen/joist-bay/3")]
        bays[key] = float(np.ptp(ring[:, 0])) > float(np.ptp(ring[:, 1]))
        # Still said to be assumed.
        assert any("joists assumed across" in one.words for one in drawn.assumptions)
    # The kitchen is 3.2 m from west to east and 3.6 m from south to north.
    assert bays == {"joists over the shorter span": True, "joists over the longer span": False}


@pytest.mark.parametrize(
    "edit",
    [
        lambda e: e["ground"]["floor"].update(joists_run=30.0),
        lambda e: e["ground"]["floor"].update(build="slab"),
        lambda e: [e.pop(key) for key in ("bathroom", "bath", "edge_east", "look_bath",
                                          "edge_bathroom_north", "look_partition")],
        lambda e: [e.pop(key) for key in list(e) if e[key]["kind"] == "inspection"],
    ],
    ids=["known", "slab", "one room", "nothing looked at"],
)  # fmt: skip
def test_it_is_not_asked_where_it_does_not_matter(edit: Any) -> None:
    document = unsaid()
    edit(document["entities"])
    assert plan.hypotheses(as_job(document)) == [("", 1.0, {})]


def test_a_guess_of_somebody_about_the_joists_takes_its_place() -> None:
    keys = [key for key, _, _ in plan.hypotheses(as_job(semi()))]
    assert keys == ["joists_ground", "joists_ground_other"]


def test_it_joins_a_question_about_something_else() -> None:
    document = unsaid()
    for key, weight in (("yes", 0.4), ("no", 0.6)):
        document["entities"][f"blocks_{key}"] = {
            "kind": "framing_guess", "question": "blocks", "weight": weight,
            "choices": {"partition.blocked": key},
        }  # fmt: skip
    found = plan.hypotheses(as_job(document))
    assert sorted(round(weight, 9) for _, weight, _ in found) == [0.08, 0.12, 0.32, 0.48]
    document["entities"]["blocks_maybe"] = {
        **document["entities"]["blocks_no"], "weight": 0.1,
        "choices": {"partition.blocked": "unknown"},
    }  # fmt: skip
    document["entities"]["blocks_no"]["weight"] = 0.5
    # Three times two is above four: what people asked goes first.
    assert len(plan.hypotheses(as_job(document))) == 3

"""Framing guesses: at most four ways in which the hidden framing may run, each with its weight.

Guesses that share a question exclude each other; questions are independent.  One guess is one
shared mistake over the whole house, not sixty independent ones.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import product
from typing import Any

from wainscot import job as jobs
from wainscot.errors import Fault, InputError
from wainscot.job import Job
from wainscot.plan import drafting
from wainscot.plan.drafting import of_kind

MOST_HYPOTHESES = 4


def hypotheses(job: Job) -> list[tuple[str, float, dict[str, Any]]]:
    """Return every combination of framing guesses with its weight; the weights sum to 1.

    Parameters
    ----------
    job : Job
        A job without faults.

    Returns
    -------
    list of (str, float, dict)
        (key, weight [1], choices for :func:`apply_guess`); one empty guess if there are none.

    Raises
    ------
    InputError
        If there are more than four combinations.
    """
    questions: dict[str, list[tuple[str, jobs.FramingGuess]]] = {}
    for key, guess in of_kind(drafting.sound(job), jobs.FramingGuess).items():
        questions.setdefault(guess.question, []).append((key, guess))
    number = combinations_of(questions)
    if number > MOST_HYPOTHESES:
        raise InputError(
            [
                Fault(
                    "too-many-guesses",
                    "entities",
                    f"the framing guesses make {number} combinations, at most"
                    f" {MOST_HYPOTHESES} are run",
                    "settle one question and take its guesses out",
                )
            ]
        )
    combos = product(*(questions[question] for question in sorted(questions)))
    found = []
    for combo in combos:
        choices: dict[str, Any] = {}
        for _, guess in combo:
            choices |= guess.choices
        weight = math.prod(guess.weight for _, guess in combo)
        found.append((" + ".join(key for key, _ in combo), weight, choices))
    total = sum(weight for _, weight, _ in found)
    return [(key, weight / total, choices) for key, weight, choices in found]


def combinations_of(questions: Mapping[str, Sequence[Any]]) -> int:
    """Return how many combinations the guesses make, one of each question."""
    return math.prod(len(guesses) for guesses in questions.values())


def apply_guess(job: Job, choices: Mapping[str, Any]) -> Job:
    """Return the job with a guess's choices set: ``{"ground.floor.joists_run": "x"}``.

    A fact that was measured or seen stays as it is: a guess only fills what nobody knows.

    Parameters
    ----------
    job : Job
        Any job.
    choices : mapping of str to value
        Values by "entity.field".
    """
    entities = dict(job.entities)
    for target, value in choices.items():
        key, _, field = target.partition(".")
        if key in entities:
            entities[key] = _with(entities[key], field.split("."), value)
    return Job(
        id=job.id, title=job.title, units=job.units, entities=entities, conflicts=job.conflicts
    )


def _with(entity: Mapping[str, Any], fields: Sequence[str], value: Any) -> dict[str, Any]:
    first, rest = fields[0], fields[1:]
    out = dict(entity)
    if rest:
        out[first] = _with(out.get(first) or {}, rest, value)
        return out
    if _is_known(out.get(first)):
        return out
    out[first] = value
    return out


def _is_known(field: Any) -> bool:
    if field is None:
        return False
    return not (isinstance(field, dict) and field.get("basis") == "default")

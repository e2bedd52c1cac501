"""Framing guesses: at most four ways in which the hidden framing may run, each with its weight.

Guesses that share a question exclude each other; questions are independent.  One guess is one
shared mistake over the whole house, not sixty independent ones.  Which way the joists run is asked
by itself where it matters and nobody said.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import product
from typing import Any

from wainscot import job as jobs
from wainscot.errors import Fault, InputError
from wainscot.job import Job
from wainscot.plan import drafting
from wainscot.plan.drafting import Entities, of_kind
from wainscot.plan.facts import Ledger, basis
from wainscot.sources import judged

MOST_HYPOTHESES = 4
SHORTER_SPAN = judged(0.8, "1", "joists span the shorter way unless a wall below says otherwise")
"""Share of floors whose joists span the shorter side of their rooms. [1]"""


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
    questions = _questions(job)
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


def guesses_of(job: Job) -> dict[str, jobs.FramingGuess]:
    """Return every framing guess by its key, those that nobody wrote down included.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    return {key: guess for some in _questions(job).values() for key, guess in some}


def framing_questions(job: Job) -> dict[str, dict[str, jobs.FramingGuess]]:
    """Return the guesses by their question, each by its key, those that nobody wrote down included.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    return {question: dict(some) for question, some in sorted(_questions(job).items())}


def _questions(job: Job) -> dict[str, list[tuple[str, jobs.FramingGuess]]]:
    """Return the guesses by their question."""
    entities = drafting.sound(job)
    questions: dict[str, list[tuple[str, jobs.FramingGuess]]] = {}
    for key, guess in of_kind(entities, jobs.FramingGuess).items():
        questions.setdefault(guess.question, []).append((key, guess))
    if 2 * combinations_of(questions) <= MOST_HYPOTHESES:
        questions |= _which_way_the_joists_run(job, entities)
    return questions


def _which_way_the_joists_run(
    job: Job, entities: Entities
) -> dict[str, list[tuple[str, jobs.FramingGuess]]]:
    """Return the question that nobody asked: over the shorter spans, or over the longer ones?

    It is asked where it matters: somebody looked or heard something, two rooms or more are drawn on
    one storey of joists, and nothing is known or guessed of the joists there.  It is one question
    for the whole house, because who built one floor built the other.
    """
    guesses = of_kind(entities, jobs.FramingGuess).values()
    if not of_kind(entities, jobs.Inspection) or any(
        name.endswith(".floor.joists_run") for guess in guesses for name in guess.choices
    ):
        return {}
    typed = of_kind(entities, jobs.Storey)
    ledger = Ledger(drafting.country(entities, job), job.units)
    rooms = Counter(room.storey for room in drafting.rooms(entities))
    unknown = [
        storey.id
        for storey in drafting.storeys(entities, ledger)
        if storey.floor.build == "joists"
        and rooms[storey.id] > 1
        and basis(typed[storey.id].floor.joists_run) == "default"
    ]
    if not unknown:
        return {}
    ways = {"short": SHORTER_SPAN.value, "long": 1.0 - SHORTER_SPAN.value}
    return {
        "which way the joists run": [
            (
                f"joists over the {way}er span",
                jobs.FramingGuess(
                    "which way the joists run",
                    weight,
                    {f"{key}.floor.joists_run": {"value": way, "basis": "default"}
                     for key in unknown},
                ),
            )
            for way, weight in ways.items()
        ]
    }  # fmt: skip


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
    # Where studs stand is what a saw goes by: a guess about it must not pass for a look.
    guessed = first in _SAWN_BY and not isinstance(value, dict)
    out[first] = {"value": value, "basis": "estimated"} if guessed else value
    return out


_SAWN_BY = ("stud_spacing", "first_stud")


def _is_known(field: Any) -> bool:
    if field is None:
        return False
    return not (isinstance(field, dict) and field.get("basis") == "default")

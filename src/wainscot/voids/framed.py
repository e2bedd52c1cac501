"""The plan under each framing guess, with one label for one void throughout.

    for one in framings(job):
        graph = build(one.plan, "norway rat")

Two guesses draw different joist bays.  Counted apart they would both have an F5; here a guess takes
over the labels of those before it and counts on.

Limits: the plan is read once for every guess, also where only one is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

import msgspec

from wainscot import plan as plan_step
from wainscot.job import Job, Labels, typed
from wainscot.plan.model import Plan
from wainscot.voids.building import all_spaces
from wainscot.voids.labels import labels


class Framed(msgspec.Struct, frozen=True):
    """A job and its plan under one framing guess."""

    guess: str
    """Key of the guess; empty where nothing is guessed."""
    weight: float
    """Chance of the guess before the signs. [1]"""
    job: Job
    """The job with the guess applied."""
    plan: Plan


def framings(job: Job) -> tuple[Framed, ...]:
    """Return the plan of a job under every framing guess, in the order of their keys.

    Parameters
    ----------
    job : Job
        The job.

    Raises
    ------
    InputError
        If the job has faults.
    """
    found: list[Framed] = []
    given: dict[str, str] = {}
    guesses = sorted(plan_step.hypotheses(job), key=lambda one: one[0])
    for n, (guess, weight, choices) in enumerate(guesses, 1):
        guessed = plan_step.apply_guess(job, choices)
        drawn = plan_step.read(guessed, guess=guess)
        given = {**given, **drawn.labels}
        drawn = msgspec.structs.replace(drawn, labels=given)
        found.append(Framed(guess, weight, guessed, drawn))
        if n < len(guesses):  # the next guess goes on with the labels of this one
            spaces = all_spaces(drawn)
            named = zip(spaces, labels(spaces, given), strict=True)
            given = given | {space.key: label for space, label in named if space.hidden}
    return tuple(found)


def framed(job: Job, guess: str = "") -> Framed:
    """Return the plan of a job under one framing guess.

    Parameters
    ----------
    job : Job
        The job.
    guess : str
        Key of the guess; the weightiest if it is empty or none is called so.

    Raises
    ------
    InputError
        If the job has faults.
    """
    found = framings(job)
    chosen = [one for one in found if one.guess == guess] or found
    return max(chosen, key=lambda one: one.weight)


def keep_labels(job: Job) -> tuple[Job, int]:
    """Return the job with the label of every hidden void kept in it, and how many are new.

    Parameters
    ----------
    job : Job
        The job.

    Raises
    ------
    InputError
        If the job has faults.
    """
    found = _all_labels(job)
    holders = [key for key, one in typed(job).items() if isinstance(one, Labels)]
    before = {void for key in holders for void in job.entities[key].get("given", {})}
    new = {void: label for void, label in found.items() if void not in before}
    if not new:
        return job, 0
    holder = (
        holders[0] if holders else next(key for key in _holder_ids() if key not in job.entities)
    )
    old = job.entities.get(holder, {"kind": "labels"})
    changed = {**old, "given": {**old.get("given", {}), **new}}
    return msgspec.structs.replace(job, entities={**job.entities, holder: changed}), len(new)


def _holder_ids() -> Iterator[str]:
    yield "labels"
    yield from (f"labels_{n}" for n in count(2))


def _all_labels(job: Job) -> dict[str, str]:
    """Return the label of every hidden void under any guess, by void id."""
    last = framings(job)[-1].plan
    spaces = all_spaces(last)
    named = zip(spaces, labels(spaces, last.labels), strict=True)
    return last.labels | {space.key: label for space, label in named if space.hidden}

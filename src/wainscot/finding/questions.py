"""Framing guesses as one question each: the answers, how likely each is, and what it changes.

Limits: what an answer changes is read off the draws of the guesses that were drawn; a guess that a
small trial run ruled out changes nothing that could be told.
"""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.diagnosis.answer import Hypothesis
from wainscot.diagnosis.draws import Draws
from wainscot.job import FramingGuess, Job
from wainscot.plan.guesses import framing_questions
from wainscot.voids.graph import Graph

MOST_CHANGES = 3
LEAST_CHANGE = 0.05
"""Changes of a chance below this are not told. [1]"""


class Change(msgspec.Struct, frozen=True):
    """What an answer would make of one void's chance of soil. [1]"""

    void: str
    label: str
    now: float
    then: float


class Answer(msgspec.Struct, frozen=True):
    """One way that the framing may run."""

    key: str
    prior: float
    """Before the signs. [1]"""
    weight: float
    """Given the signs. [1]"""
    sets: dict[str, Any]
    """What it says, by "entity.field"."""
    changes: tuple[Change, ...]
    """The voids whose chance it would move most."""


class Question(msgspec.Struct, frozen=True):
    """One question of framing; answering it sets facts and takes the guesses out."""

    question: str
    answers: tuple[Answer, ...]
    guesses: tuple[str, ...]
    """Ids of the written guesses that an answer makes needless."""


def questions(
    job: Job, hypotheses: tuple[Hypothesis, ...], drawn: Draws | None, graph: Graph
) -> tuple[Question, ...]:
    """Return every framing question of a job.

    Parameters
    ----------
    job : Job
        A job without faults.
    hypotheses : tuple of Hypothesis
        Cases with their weights.
    drawn : Draws or None
        For what each answer changes.
    graph : Graph
        The graph of the draws, for labels.
    """
    found = []
    for question, guesses in framing_questions(job).items():
        answers = tuple(
            _answer(key, guess, hypotheses, drawn, graph) for key, guess in guesses.items()
        )
        written = tuple(key for key in guesses if key in job.entities)
        found.append(Question(question, answers, written))
    return tuple(found)


def _answer(
    key: str,
    guess: FramingGuess,
    hypotheses: tuple[Hypothesis, ...],
    drawn: Draws | None,
    graph: Graph,
) -> Answer:
    weight = sum(one.weight for one in hypotheses if key in one.guess.split(" + "))
    sets = {
        name: value["value"] if isinstance(value, dict) and "value" in value else value
        for name, value in guess.choices.items()
    }
    return Answer(key, guess.weight, float(weight), sets, _changes(key, drawn, graph))


def _changes(key: str, drawn: Draws | None, graph: Graph) -> tuple[Change, ...]:
    if drawn is None or not drawn.cases:
        return ()
    chosen = np.array([key in guess.split(" + ") for _, guess in drawn.cases])[drawn.case]
    if not chosen.any() or chosen.all():
        return ()
    soiled = (drawn.soil > 0) | drawn.nest
    now = _mean(soiled, drawn.weight)
    then = _mean(soiled[chosen], drawn.weight[chosen])
    moved = np.where(graph.hidden, np.abs(then - now), 0.0)
    order = np.argsort(-moved, kind="stable")[:MOST_CHANGES]
    return tuple(
        Change(graph.keys[v], graph.labels[v], float(now[v]), float(then[v]))
        for v in order.tolist()
        if moved[v] >= LEAST_CHANGE
    )


def _mean(flags: np.ndarray, weight: Floats) -> Floats:
    return np.asarray(np.clip((weight @ flags) / weight.sum(), 0.0, 1.0))
